/* SPDX-License-Identifier: MIT */
/* QR codes (ISO/IEC 18004) and Data Matrix (ISO/IEC 16022): libzint says which modules are dark; they are filled here,
 * on pages of dots as whole dots. */
#include "draw_canvas.h"

#include <assert.h>
#include <math.h>
#include <string.h>
#include <zint.h>

/* Light modules all around: ISO/IEC 18004 asks for 4, ISO/IEC 16022 for 1; one more, since labels are cut askew. */
enum { QUIET_QR = 4, QUIET_MATRIX = 2 };
/* What a hand-held reader resolves, and what a printer's single dot may lose. Common practice, no source. */
#define MODULE_LEAST_MM 0.25
#define MODULE_LEAST_DOTS 2.0
/* 203 dots an inch are 8 a millimetre: 2 of them count as 0.25 mm. */
#define MODULE_SLACK_MM 0.0005

static void symbol_free_at(struct zint_symbol **symbol)
{
    if (*symbol)
        ZBarcode_Delete(*symbol);
}

/* How large it comes out. */
struct fit {
    int modules;      /* a side, quiet zone included */
    double module_mm; /* as drawn */
    double wanted_mm; /* of the side, to be large enough */
};

static struct fit fit_make(const struct canvas *canvas, const struct layout_symbol *symbol, int modules)
{
    struct fit fit = {.modules = modules};
    const double side_mm = (double)symbol->box.width_um / 1000;
    fit.module_mm = side_mm / modules;
    fit.wanted_mm = modules * MODULE_LEAST_MM;
    if (canvas->dpi > 0) {
        const double dot_mm = 25.4 / canvas->dpi;
        const double least_dots = fmax(MODULE_LEAST_DOTS, ceil((MODULE_LEAST_MM - MODULE_SLACK_MM) / dot_mm));
        fit.module_mm = floor(fit.module_mm / dot_mm + 1e-6) * dot_mm;
        fit.wanted_mm = modules * least_dots * dot_mm;
    }
    return fit;
}

static bool fit_is_fine(const struct canvas *canvas, const struct fit *fit)
{
    const bool has_dots = canvas->dpi <= 0 || fit->module_mm > (MODULE_LEAST_DOTS - 0.01) * 25.4 / canvas->dpi;
    return has_dots && fit->module_mm >= MODULE_LEAST_MM - MODULE_SLACK_MM;
}

/* level: of error correction, 1 to 3 for L, M, Q; no meaning for Data Matrix. */
static enum status encode(const struct layout_symbol *symbol, const char *text, int level, struct zint_symbol **out,
                          struct err *err)
{
    struct zint_symbol *made = ZBarcode_Create();
    if (!made)
        return err_set(err, STATUS_SYSTEM, "memory", "could not make a symbol");
    made->symbology = symbol->kind == SYMBOL_QR ? BARCODE_QRCODE : BARCODE_DATAMATRIX;
    made->input_mode = DATA_MODE;
    if (symbol->kind == SYMBOL_QR)
        made->option_1 = level;
    else
        made->option_3 = DM_SQUARE;
    if (ZBarcode_Encode(made, (const unsigned char *)text, (int)strlen(text)) >= ZINT_ERROR) {
        err_set(err, STATUS_INPUT, text, "no symbol can be made of it: %.100s", made->errtxt);
        ZBarcode_Delete(made);
        return err->status;
    }
    *out = made;
    return STATUS_OK;
}

static bool is_dark(const struct zint_symbol *symbol, int row, int column)
{
    return (symbol->encoded_data[row][column / 8] >> (column % 8) & 1) != 0;
}

/* One path of whole runs, filled at once: neighbours leave no seam, whatever draws it. */
static void modules_fill(const struct canvas *canvas, const struct zint_symbol *symbol, double x, double y,
                         double module)
{
    for (int row = 0; row < symbol->rows; row++)
        for (int column = 0; column < symbol->width; column++) {
            int end = column;
            while (end < symbol->width && is_dark(symbol, row, end))
                end++;
            if (end > column)
                cairo_rectangle(canvas->cairo, x + column * module, y + row * module, (end - column) * module, module);
            column = end;
        }
    cairo_set_antialias(canvas->cairo, CAIRO_ANTIALIAS_NONE);
    cairo_fill(canvas->cairo);
    cairo_set_antialias(canvas->cairo, CAIRO_ANTIALIAS_DEFAULT);
}

static void modules_draw(const struct canvas *canvas, const struct layout_symbol *symbol,
                         const struct zint_symbol *made, const struct fit *fit, int quiet)
{
    const struct place place = box_place(&symbol->box);
    const double module_pt = fit->module_mm * 1000 * PT_PER_UM;
    const double rest_pt = (place.width - module_pt * fit->modules) / 2 + module_pt * quiet;
    double x = place.x + rest_pt;
    double y = place.y + rest_pt;
    canvas_ink(canvas);
    if (canvas->dpi <= 0) {
        modules_fill(canvas, made, x, y, module_pt);
        return;
    }
    cairo_user_to_device(canvas->cairo, &x, &y);
    cairo_save(canvas->cairo);
    cairo_identity_matrix(canvas->cairo);
    modules_fill(canvas, made, round(x), round(y), round(module_pt * canvas->dpi / 72));
    cairo_restore(canvas->cairo);
}

enum status symbol_draw(const struct canvas *canvas, const struct layout_symbol *symbol, const char *text,
                        struct err *err)
{
    const bool is_qr = symbol->kind == SYMBOL_QR;
    const int quiet = is_qr ? QUIET_QR : QUIET_MATRIX;
    struct fit fit = {0};
    double wanted_mm = 0;
    /* A quarter of a QR code may be lost at level Q; less where the symbol would be too fine otherwise. */
    for (int level = is_qr ? 3 : 1; level >= 1; level--) {
        CLEANUP(symbol_free_at) struct zint_symbol *made = NULL;
        TRY(encode(symbol, text, level, &made, err));
        assert(made);
        fit = fit_make(canvas, symbol, made->width + 2 * quiet);
        if (fit_is_fine(canvas, &fit)) {
            modules_draw(canvas, symbol, made, &fit, quiet);
            return STATUS_OK;
        }
        wanted_mm = wanted_mm > 0 ? wanted_mm : fit.wanted_mm;
    }
    err_set(
        err, STATUS_INPUT, text,
        "its %s has %d modules a side with its quiet zone; in %.1f mm%s each would be %.3f mm wide (at least %.2f mm)",
        is_qr ? "QR code" : "Data Matrix", fit.modules, (double)symbol->box.width_um / 1000,
        canvas->dpi > 0 ? " of whole dots" : "", fit.module_mm, MODULE_LEAST_MM);
    return err_hint(err, "a symbol %.1f mm wide would do: take a larger layout, or change line %zu of this one",
                    ceil(wanted_mm * 10) / 10, symbol->box.line);
}
