/* SPDX-License-Identifier: MIT */
/* A well at a steady flow, as it was typed: where the bit is, what is pumped, what a tracer took. */
#include <math.h>
#include <string.h>

#include "coretally/say/lag_table.h"
#include "lag_case.h"

#define FLOW_MOST_M3_MIN 20.0 /* more is a slip. Common practice, no source */

/* "triplex,6in,12in,97" */
static enum status read_pump(struct state *state, const char *typed, double *output_m3, struct err *err)
{
    static const char *const triplex[] = {"kind", "bore", "stroke", "efficiency"};
    static const char *const duplex[] = {"kind", "bore", "rod", "stroke", "efficiency"};
    const bool is_duplex = strncmp(typed, "duplex", 6) == 0;
    const char *const *names = is_duplex ? duplex : triplex;
    const size_t most = is_duplex ? 5 : 4;
    struct pump pump;
    record_init(&pump_table, &pump);
    pump.name = "pump";
    size_t count = 0;
    for (const char *rest = typed; rest && count < most; count++) {
        const char *part = NULL;
        const char *comma = strchr(rest, ',');
        TRY(arena_copy(state->arena, rest, comma ? (size_t)(comma - rest) : strlen(rest), &part, err));
        TRY(run_set(state, &pump_table, names[count], part + strspn(part, " "), INT_NONE, &pump, err));
        rest = comma ? comma + 1 : NULL;
        if (rest && count + 1 == most)
            return err_set(err, STATUS_INPUT, typed, "this has more parts than a %s pump has",
                           names == duplex ? "duplex" : "triplex");
    }
    if (pump.kind == PUMP_MEASURED) {
        err_set(err, STATUS_INPUT, typed, "a measured output is typed by itself");
        return err_hint(err, "leave --pump out and add --output 0.102bbl/stk");
    }
    TRY(pump_check(&pump, err));
    *output_m3 = pump_output(&pump);
    return STATUS_OK;
}

/* What a stroke delivers: by the make of the pump, or measured. */
static enum status read_output(struct run *run, struct lag_case *lag_case, struct err *err)
{
    const char *pump = run_option(run, "pump");
    const char *output = run_option(run, "output");
    if (pump)
        TRY(read_pump(run->state, pump, &lag_case->output_m3, err));
    if (!output)
        return STATUS_OK;
    TRY(measure_parse(output, MEASURE_OUTPUT, &lag_case->output_m3, err));
    if (lag_case->output_m3 <= 0 || lag_case->output_m3 > PUMP_OUTPUT_MOST_M3) {
        err_set(err, STATUS_INPUT, output, "no pump delivers %g m3 a stroke", lag_case->output_m3);
        return err_hint(err, "type its unit: 0.102bbl/stk, 16.2l/stk");
    }
    if (lag_case->output_m3 > PUMP_OUTPUT_PLAIN_M3)
        (void)fprintf(run->talk, "note: %g m3 a stroke is more than pumps deliver; for barrels type %gbbl/stk\n",
                      lag_case->output_m3, lag_case->output_m3);
    return STATUS_OK;
}

/* Strokes, of a minute or of a tracer, say something only with what one delivers. */
static enum status need_output(const struct lag_case *lag_case, const char *option, const char *what, struct err *err)
{
    if (!isnan(lag_case->output_m3))
        return STATUS_OK;
    err_set(err, STATUS_USAGE, option, "%s the output of a stroke", what);
    return err_hint(err, "add --pump triplex,6in,12in,97 or --output 0.102bbl/stk");
}

static enum status read_flow(struct run *run, struct lag_case *lag_case, struct err *err)
{
    const char *flow = run_option(run, "flow");
    const char *spm = run_option(run, "spm");
    double rate = 0;
    if (flow)
        TRY(measure_parse(flow, MEASURE_FLOW, &lag_case->flow_m3_min, err));
    if (!spm)
        return STATUS_OK;
    TRY(measure_parse(spm, MEASURE_RATE, &rate, err));
    TRY(need_output(lag_case, "--spm", "strokes a minute need", err));
    lag_case->flow_m3_min = rate * lag_case->output_m3;
    return STATUS_OK;
}

static enum status read_booster(struct run *run, struct lag_case *lag_case, struct err *err)
{
    const char *booster = run_option(run, "booster");
    if (!booster)
        return STATUS_OK;
    TRY(measure_parse(booster, MEASURE_FLOW, &lag_case->booster_m3_min, err));
    if (lag_case->geometry.inlet_um != LENGTH_NONE)
        return STATUS_OK;
    err_set(err, STATUS_USAGE, "--booster", "where the booster enters is not stated");
    return err_hint(err, "add --inlet and the depth of the riser's foot below rig floor");
}

static enum status check_flows(struct run *run, const struct lag_case *lag_case, struct err *err)
{
    const char *flow = run_option(run, "flow") ? run_option(run, "flow") : run_option(run, "spm");
    if (flow && (lag_case->flow_m3_min <= 0 || lag_case->flow_m3_min > FLOW_MOST_M3_MIN)) {
        err_set(err, STATUS_INPUT, flow, "a flow of %g m3/min must be above 0 and at most %g m3/min",
                lag_case->flow_m3_min, FLOW_MOST_M3_MIN);
        return err_hint(err, "bare numbers are m3/min; type 300gpm or 1200l/min otherwise");
    }
    if (lag_case->booster_m3_min < 0 || lag_case->booster_m3_min > FLOW_MOST_M3_MIN)
        return err_set(err, STATUS_INPUT, run_option(run, "booster"),
                       "a booster of %g m3/min is outside 0 to %g m3/min", lag_case->booster_m3_min, FLOW_MOST_M3_MIN);
    return STATUS_OK;
}

enum status lag_case_read(struct run *run, struct lag_case *lag_case, struct err *err)
{
    const char *bit = run_option(run, "bit");
    const char *tracer = run_option(run, "tracer-strokes");
    lag_case->flow_m3_min = lag_case->output_m3 = lag_case->tracer_strokes = NAN;
    lag_case->booster_m3_min = 0;
    if (bit)
        TRY(length_parse(bit, UNIT_M, &lag_case->bit_um, err));
    if (run_option(run, "pump") && run_option(run, "output"))
        return err_set(err, STATUS_USAGE, "--output", "--pump already says what a stroke delivers");
    if (run_option(run, "flow") && run_option(run, "spm"))
        return err_set(err, STATUS_USAGE, "--spm", "--flow already says what is pumped");
    TRY(read_output(run, lag_case, err));
    TRY(read_flow(run, lag_case, err));
    TRY(read_booster(run, lag_case, err));
    TRY(check_flows(run, lag_case, err));
    if (!tracer)
        return STATUS_OK;
    TRY(measure_parse(tracer, MEASURE_RATIO, &lag_case->tracer_strokes, err));
    return need_output(lag_case, "--tracer-strokes", "a count of strokes needs", err);
}
