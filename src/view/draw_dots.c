/* SPDX-License-Identifier: MIT */
/* Pages of dots are masks of ink while they are drawn on; as PNG they become black on white. */
#include "draw_dots.h"

#include <math.h>
#include <stdint.h>
#include <string.h>
#include <zlib.h>

enum { DOTS_MOST = 32767 }; /* a side, cairo's limit */

enum status dots_create(double width_pt, double height_pt, double dpi, cairo_surface_t **out, struct err *err)
{
    const double width = round(width_pt * dpi / 72);
    const double height = round(height_pt * dpi / 72);
    if (width > DOTS_MOST || height > DOTS_MOST)
        return err_set(err, STATUS_INPUT, "dpi",
                       "at %.6g dots an inch a page is %.0f x %.0f dots, a side has %d at most", dpi, width, height,
                       DOTS_MOST);
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_A8, (int)width, (int)height);
    if (cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) {
        cairo_surface_destroy(surface);
        return err_set(err, STATUS_SYSTEM, "memory", "could not hold a page of %.0f x %.0f dots", width, height);
    }
    *out = surface;
    return STATUS_OK;
}

/* Ink to black, none to white. Label printers know nothing between the two, and would dither what is. */
static void dots_settle(cairo_surface_t *surface)
{
    cairo_surface_flush(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    const int width = cairo_image_surface_get_width(surface);
    const int height = cairo_image_surface_get_height(surface);
    unsigned char *data = cairo_image_surface_get_data(surface);
    for (int row = 0; row < height; row++)
        for (int column = 0; column < width; column++) {
            unsigned char *dot = data + (size_t)row * (size_t)stride + column;
            *dot = *dot >= 128 ? 0 : 255;
        }
    cairo_surface_mark_dirty(surface);
}

static void put_big_endian(unsigned char *at, uint32_t value)
{
    for (int byte = 0; byte < 4; byte++)
        at[byte] = (unsigned char)(value >> (24 - 8 * byte));
}

/* W3C Portable Network Graphics, second edition, 11.3.5.3: pHYs, dots a metre both ways, unit 1 for the metre; it
 * stands before the first IDAT. 5.3: length, type, data, CRC over type and data. */
enum { PNG_START = 8 + 25, PHYS_DATA = 9, PHYS_CHUNK = 12 + PHYS_DATA }; /* signature and IHDR come first */

struct png_stream {
    struct text *text;
    double dpi;
};

static void resolution_add(struct text *text, double dpi)
{
    unsigned char chunk[PHYS_CHUNK] = {0, 0, 0, PHYS_DATA, 'p', 'H', 'Y', 's'};
    const uint32_t a_metre = (uint32_t)lround(dpi / 0.0254);
    put_big_endian(chunk + 8, a_metre);
    put_big_endian(chunk + 12, a_metre);
    chunk[16] = 1;
    put_big_endian(chunk + 17, (uint32_t)crc32(0, chunk + 4, 4 + PHYS_DATA));
    text_add_bytes(text, (const char *)chunk, sizeof chunk);
}

static cairo_status_t write_png(void *closure, const unsigned char *data, unsigned int len)
{
    struct png_stream *stream = closure;
    struct text *text = stream->text;
    const size_t before = text->len < PNG_START ? PNG_START - text->len : 0;
    const size_t first = before < len ? before : len;
    text_add_bytes(text, (const char *)data, first);
    if (before > 0 && text->len == PNG_START)
        resolution_add(text, stream->dpi);
    text_add_bytes(text, (const char *)data + first, len - first);
    return text->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

cairo_status_t dots_write(cairo_surface_t *surface, double dpi, struct text *out)
{
    struct png_stream stream = {out, dpi};
    dots_settle(surface);
    return cairo_surface_write_to_png_stream(surface, write_png, &stream);
}
