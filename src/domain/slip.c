/* SPDX-License-Identifier: MIT */
/* How much slower than the mud cuttings rise. The correlations are fits in feet a second, inches, pounds a gallon and
 * centipoise; inputs are turned into these on the way in, the velocity into metres a second on the way out. */
#include "coretally/domain/slip.h"

#include <math.h>

#include "coretally/base/measure.h"

/* NIST Special Publication 811 (2008), appendix B.8; 1 cP is 1 mPa.s. */
#define METRES_PER_FOOT 0.3048
#define METRES_PER_INCH 0.0254
#define KG_M3_PER_LB_GAL (0.45359237 / CUBIC_METRES_PER_GALLON)

/* The fit of the drag coefficient names no range. For spheres it gives 30.9 at Re 1, where 24/Re (1 + 0.15 Re^0.687)
 * (Schiller and Naumann, from memory) gives 27.6, and departs quickly below; our own limits. */
#define DRAG_MOST 10000.0
/* Bourgoyne et al. 1986, from memory. */
#define MOORE_LOW 3.0
#define MOORE_HIGH 300.0
#define CHIEN_MOST 100.0

const char *const slip_words[] = {"",
#define SLIP_WORD(id, word, meaning) word,
                                  SLIP_METHOD_LIST(SLIP_WORD)
#undef SLIP_WORD
                                      NULL};

/* The inputs in the units of the formulas. */
struct particle {
    double size_in;       /* d */
    double mud_lb_gal;    /* rho_f */
    double viscosity_cp;  /* mu */
    double excess_lb_gal; /* rho_s - rho_f */
};

/* Re = 928 rho_f v d / mu. Guo and Liu 2011, eq. 2.96; here what a foot a second gives. */
static double reynolds_per_ft_s(const struct particle *particle)
{
    return 928 * particle->mud_lb_gal * particle->size_in / particle->viscosity_cp;
}

static enum status refuse_reynolds(enum slip_method method, const char *is, const char *limit, const char *hint,
                                   struct err *err)
{
    err_set(err, STATUS_RULE, slip_words[method], "the Reynolds number of the cuttings is %s, the method is valid %s",
            is, limit);
    return err_hint(err, "%s", hint);
}

/* Guo and Liu 2011, pp. 55-56, eq. 2.90 and 2.92 to 2.95 (the fit is by Fang et al. 2008):
 *     v = 1.89 sqrt(d / f (rho_s - rho_f) / rho_f),  f = 10^(A + B log Re + C log^2 Re)
 * The book iterates. Since f Re^2 does not contain v, log(f Re^2) = A + (B + 2) log Re + C log^2 Re is a quadratic in
 * log Re; C is above 0 for every sphericity, so the larger root is the one where a faster particle has more drag. */
static enum status slip_drag(const struct particle *particle, double sphericity, double *out_ft_s, struct err *err)
{
    const double psi = sphericity;
    const double a = 2.2954 - 2.2626 * psi + 4.4395 * psi * psi - 2.9825 * psi * psi * psi;
    const double b = -0.4193 - 1.9014 * psi + 3.3416 * psi * psi - 2.0409 * psi * psi * psi;
    const double c = 0.1117 + 0.0553 * psi - 0.1468 * psi * psi + 0.1145 * psi * psi * psi;
    const double per_ft_s = reynolds_per_ft_s(particle);
    const double v2_f = 1.89 * 1.89 * particle->size_in * particle->excess_lb_gal / particle->mud_lb_gal;
    const double log_f_re2 = log10(v2_f * per_ft_s * per_ft_s);
    if (log_f_re2 < a) /* a is its value at Re = 1 */
        return refuse_reynolds(SLIP_DRAG, "below 1", "from 1 to 10000",
                               "cuttings this slow hardly slip; moore has a range for them", err);
    const double log_re = (sqrt((b + 2) * (b + 2) - 4 * c * (a - log_f_re2)) - (b + 2)) / (2 * c);
    const double reynolds = pow(10, log_re);
    if (reynolds > DRAG_MOST)
        return refuse_reynolds(SLIP_DRAG, "above 10000", "from 1 to 10000",
                               "check the size of the cuttings and the viscosity", err);
    *out_ft_s = reynolds / per_ft_s;
    return STATUS_OK;
}

/* Moore, from memory of Bourgoyne et al. 1986; mu is the apparent viscosity:
 *     Re < 3          v = 82.87 d^2 (rho_s - rho_f) / mu
 *     3 to 300        v = 2.90 d (rho_s - rho_f)^0.667 / (rho_f^0.333 mu^0.333)
 *     Re > 300        v = 1.54 sqrt(d (rho_s - rho_f) / rho_f)
 * The range is not known beforehand: each is worked out and taken if its own Re lies in it. The three do not meet.
 * Around 3 the lower two may both fit (the lower at 2.8 to 3): the middle one counts, 5 % faster. Around 300 neither
 * may fit (the middle says 300 to 337, the upper 275 to 300): then the velocity at which Re is 300 counts, which joins
 * both without a jump. */
static double slip_moore(const struct particle *particle)
{
    const double per_ft_s = reynolds_per_ft_s(particle);
    const double middle_ft_s = 2.90 * particle->size_in * pow(particle->excess_lb_gal, 0.667) /
                               (pow(particle->mud_lb_gal, 0.333) * pow(particle->viscosity_cp, 0.333));
    const double middle = middle_ft_s * per_ft_s;
    if (middle >= MOORE_LOW && middle <= MOORE_HIGH)
        return middle_ft_s;
    if (middle < MOORE_LOW)
        return 82.87 * particle->size_in * particle->size_in * particle->excess_lb_gal / particle->viscosity_cp;
    const double upper_ft_s = 1.54 * sqrt(particle->size_in * particle->excess_lb_gal / particle->mud_lb_gal);
    return fmax(upper_ft_s, MOORE_HIGH / per_ft_s);
}

/* Chien, from memory of Bourgoyne et al. 1986; mu is the plastic viscosity, Re below 100:
 *     v = 0.0075 m (sqrt(36800 d / m^2 (rho_s - rho_f) / rho_f + 1) - 1),  m = mu / (rho_f d)
 */
static enum status slip_chien(const struct particle *particle, double *out_ft_s, struct err *err)
{
    const double m = particle->viscosity_cp / (particle->mud_lb_gal * particle->size_in);
    const double relative = particle->excess_lb_gal / particle->mud_lb_gal;
    const double slip_ft_s = 0.0075 * m * (sqrt(36800 * particle->size_in / (m * m) * relative + 1) - 1);
    if (slip_ft_s * reynolds_per_ft_s(particle) >= CHIEN_MOST)
        return refuse_reynolds(SLIP_CHIEN, "100 or more", "below 100", "use drag or moore for cuttings this fast", err);
    *out_ft_s = slip_ft_s;
    return STATUS_OK;
}

/* Limits of what is typed: common practice, no source. They catch a slipped unit, such as 2.65 for 2650 kg/m3. */
struct input {
    double value;
    double least;
    double most;
    const char *name;
    const char *unit;
    const char *hint;
};

static enum status check_input(const struct input *input, enum slip_method method, struct err *err)
{
    if (isnan(input->value))
        err_set(err, STATUS_INPUT, input->name, "the %s method needs the %s", slip_words[method], input->name);
    else if (input->value >= input->least && input->value <= input->most)
        return STATUS_OK;
    else
        err_set(err, STATUS_INPUT, input->name, "a %s of %g%s is outside %g to %g%s", input->name, input->value,
                input->unit, input->least, input->most, input->unit);
    return err_hint(err, "%s", input->hint);
}

static enum status check_inputs(const struct slip *slip, struct err *err)
{
    if (slip->method <= SLIP_NONE || slip->method >= SLIP_METHOD_COUNT) {
        err_set(err, STATUS_INPUT, "slip", "a slip velocity needs a method");
        return err_hint(err, "name one of drag, moore, chien");
    }
    const struct input inputs[] = {
        {slip->size_m * 1000, 0.05, 100, "size of the cuttings", " mm", "their usual diameter, such as 6mm"},
        {slip->density_kg_m3, 1000, 8000, "density of the cuttings", " kg/m3", "such as 2650, 2.65g/cm3 or 22lb/gal"},
        {slip->mud_kg_m3, 500, 3000, "density of the mud", " kg/m3", "such as 1200, 1.2g/cm3 or 10lb/gal"},
        {slip->viscosity_mpa_s, 0.1, 1000, "viscosity of the mud", " mPa.s", "such as 20, which is 20 cP"},
        {slip->sphericity, 0.1, 1, "sphericity", "", "1 for balls, 0.8 for most cuttings"},
    };
    const size_t count = sizeof inputs / sizeof inputs[0] - (slip->method == SLIP_DRAG ? 0 : 1);
    for (size_t at = 0; at < count; at++)
        TRY(check_input(&inputs[at], slip->method, err));
    if (slip->density_kg_m3 > slip->mud_kg_m3)
        return STATUS_OK;
    err_set(err, STATUS_INPUT, "density of the cuttings", "cuttings of %g kg/m3 do not sink in mud of %g kg/m3",
            slip->density_kg_m3, slip->mud_kg_m3);
    return err_hint(err, "look at both densities; without slip, cuttings move with the mud");
}

enum status slip_velocity(const struct slip *slip, double *out_m_s, double *reynolds, struct err *err)
{
    TRY(check_inputs(slip, err));
    const struct particle particle = {
        .size_in = slip->size_m / METRES_PER_INCH,
        .mud_lb_gal = slip->mud_kg_m3 / KG_M3_PER_LB_GAL,
        .viscosity_cp = slip->viscosity_mpa_s,
        .excess_lb_gal = (slip->density_kg_m3 - slip->mud_kg_m3) / KG_M3_PER_LB_GAL,
    };
    double slip_ft_s = 0;
    if (slip->method == SLIP_DRAG)
        TRY(slip_drag(&particle, slip->sphericity, &slip_ft_s, err));
    else if (slip->method == SLIP_CHIEN)
        TRY(slip_chien(&particle, &slip_ft_s, err));
    else
        slip_ft_s = slip_moore(&particle);
    *out_m_s = slip_ft_s * METRES_PER_FOOT;
    if (reynolds)
        *reynolds = slip_ft_s * reynolds_per_ft_s(&particle);
    return STATUS_OK;
}

double transport_ratio(double annular_m_s, double slip_m_s)
{
    return annular_m_s > 0 ? (annular_m_s - slip_m_s) / annular_m_s : NAN;
}
