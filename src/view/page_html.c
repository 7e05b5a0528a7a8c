/* SPDX-License-Identifier: MIT */
/* A report as one HTML page: readable on a phone, on a desk and on paper; nothing is told by colour alone. */
#include "coretally/view/page.h"

#include <string.h>

#include "coretally/base/shown.h"

/* The policy lets the page's own style in and nothing else: no script, no picture, no font, no form. */
static const char head[] =
    "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
    "base-uri 'none'; form-action 'none'\">\n"
    "<meta name=\"referrer\" content=\"no-referrer\">\n"
    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";

/* Wide: tables as tables. Narrow: each row a card, each cell with the name of its column before it. */
static const char style[] =
    "<style>\n"
    ":root{color:#1d2b2f;background:#fff;font:16px/1.5 Georgia,'Liberation Serif',serif}\n"
    "*{box-sizing:border-box}\n"
    "body{margin:0 auto;max-width:74rem;padding:1.5rem 1rem 3rem}\n"
    "h1{font-size:1.7rem;line-height:1.2;margin:.2rem 0 1rem;font-weight:normal}\n"
    "h2{font-size:1.35rem;font-weight:normal;margin:2.6rem 0 .8rem;padding-top:.5rem;border-top:3px double #1d2b2f}\n"
    "h3{font-size:1.05rem;margin:1.8rem 0 .5rem}\n"
    "p{max-width:46rem;margin:.6rem 0}\n"
    "bdi{unicode-bidi:isolate}\n"
    ".caution{max-width:46rem;margin:1rem 0;padding:.6rem .9rem;border:2px solid #1d2b2f;font-weight:bold}\n"
    "dl{display:grid;grid-template-columns:minmax(8rem,14rem) 1fr;gap:.15rem 1.2rem;margin:.5rem 0 "
    "1rem;max-width:60rem}\n"
    "dt{font-style:italic}\n"
    "dd{margin:0;overflow-wrap:anywhere}\n"
    "figure{margin:1rem 0}\n"
    "figcaption,caption{text-align:left;font-style:italic;padding:.2rem 0;max-width:46rem}\n"
    "table{border-collapse:collapse;margin:.8rem 0;font-size:.92rem;line-height:1.35}\n"
    "th{text-align:left;font-weight:normal;font-style:italic;border-bottom:1.5px solid #1d2b2f;vertical-align:bottom}\n"
    "th,td{padding:.3rem .9rem .3rem 0}\n"
    "td{border-bottom:1px solid #c3ccce;vertical-align:top}\n"
    ".n{text-align:right;font-variant-numeric:tabular-nums lining-nums;white-space:nowrap}\n"
    ".first{font-size:.88rem;line-height:1.3}\n"
    ".first table{font-size:.85rem;line-height:1.25;margin:.3rem 0}\n"
    ".first th,.first td{padding:.1rem .6rem .1rem 0}\n"
    ".first dl{margin:0 0 .3rem;max-width:none;gap:.1rem 1.2rem}\n"
    ".first caption{font-weight:bold;font-style:normal;max-width:none}\n"
    ".first p{margin:.3rem 0;max-width:none}\n"
    ".pair{display:grid;grid-template-columns:auto 1fr;gap:0 2.5rem}\n"
    "pre{background:#f1f4f4;border-left:3px solid #1d2b2f;padding:.7rem .9rem;font:.85rem/1.5 'Liberation "
    "Mono',monospace;"
    "white-space:pre-wrap;overflow-wrap:anywhere}\n"
    "svg{display:block;width:100%;max-width:33rem;height:auto;font:13px Georgia,'Liberation Serif',serif}\n"
    "svg text{fill:#1d2b2f;paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}\n"
    ".grid{stroke:#d5dcdd;stroke-width:.7}\n"
    ".zero{stroke:#1d2b2f;stroke-width:1;stroke-dasharray:4 3}\n"
    ".bar{stroke:#1d2b2f;stroke-width:4}\n"
    ".tick{stroke:#1d2b2f;stroke-width:1}\n"
    ".step{stroke:#1d2b2f;stroke-width:.8;stroke-dasharray:1 2}\n"
    "footer{margin-top:3rem;border-top:1px solid #1d2b2f;padding-top:.6rem;font-size:.9rem;overflow-wrap:anywhere}\n"
    "@media screen and (max-width:46rem){\n"
    "dl,.pair{display:block}\n"
    "td{overflow-wrap:anywhere}\n"
    "dd{margin:0 0 .5rem}\n"
    "table,tbody,tr,td,caption{display:block}\n"
    "thead{display:none}\n"
    "tr{border:1px solid #c3ccce;margin:0 0 .6rem;padding:.4rem .6rem}\n"
    "td,.n{border:0;padding:.1rem 0;display:flex;gap:.8rem;text-align:left;white-space:normal}\n"
    "td:empty{display:none}\n"
    "td::before{content:attr(data-name);font-style:italic;text-align:left;flex:0 0 40%}\n"
    "}\n"
    "@media print{\n"
    "@page{size:A4;margin:16mm 14mm}\n"
    ":root{font-size:10pt}\n"
    "body{max-width:none;padding:0}\n"
    "table{font-size:8.6pt;width:100%}\n"
    "th,td{padding-right:.5rem}\n"
    "h2,h3,caption{break-after:avoid}\n"
    "tr,figure,.caution{break-inside:avoid}\n"
    "thead{display:table-header-group;break-after:avoid}\n"
    "svg{max-width:120mm}\n"
    "pre{border:1px solid #1d2b2f}\n"
    "}\n"
    "</style>\n";

static void add_element(struct text *out, const char *open, const char *string, const char *close)
{
    text_add(out, open);
    text_add_html(out, string);
    text_add(out, close);
}

/* A table lets a word be broken nowhere, so that a narrow column does not cut "in force" into letters; what is longer
 * than any word of a language may break after so many of its bytes. */
enum { WORD_BYTES = 40 };
static void add_cell(struct text *out, const char *cell)
{
    text_add(out, "<bdi>");
    while (*cell) {
        const size_t word = strcspn(cell, " ");
        size_t len = word <= WORD_BYTES ? word + strspn(cell + word, " ") : WORD_BYTES;
        while (len < word && ((unsigned char)cell[len] & 0xc0) == 0x80) /* inside a character */
            len++;
        text_add_html_bytes(out, cell, len);
        if (word > WORD_BYTES)
            text_add(out, "<wbr>");
        cell += len;
    }
    text_add(out, "</bdi>");
}

static void add_column_name(struct text *out, const struct column *column)
{
    text_add_html(out, column->name);
    if (column->unit)
        text_add_html(out, " ");
    if (column->unit)
        text_add_html(out, column->unit);
}

static void add_table(struct text *out, const struct block *block)
{
    const struct sheet *sheet = block->sheet;
    struct text scratch;
    text_init(&scratch, out->arena);
    text_add(out, "<table>\n");
    if (block->text)
        add_element(out, "<caption>", block->text, "</caption>\n");
    text_add(out, "<thead><tr>");
    for (size_t column = 0; column < sheet->column_count; column++) {
        text_add(out, sheet->columns[column].number ? "<th scope=\"col\" class=\"n\">" : "<th scope=\"col\">");
        add_column_name(out, &sheet->columns[column]);
        text_add(out, "</th>");
    }
    text_add(out, "</tr></thead>\n<tbody>\n");
    for (size_t row = 0; row < sheet->row_count; row++) {
        text_add(out, "<tr>");
        for (size_t column = 0; column < sheet->column_count; column++) {
            const char *cell = sheet_people(sheet, row, column, &scratch);
            text_addf(out, "<td%s data-name=\"", sheet->columns[column].number ? " class=\"n\"" : "");
            add_column_name(out, &sheet->columns[column]);
            text_add(out, "\">");
            if (*cell)
                add_cell(out, cell);
            text_add(out, "</td>");
        }
        text_add(out, "</tr>\n");
    }
    text_add(out, "</tbody>\n</table>\n");
}

static void add_facts(struct text *out, const struct sheet *sheet)
{
    struct text scratch;
    text_init(&scratch, out->arena);
    text_add(out, "<dl>\n");
    for (size_t row = 0; row < sheet->row_count; row++) {
        add_element(out, "<dt>", sheet_people(sheet, row, 0, &scratch), "</dt>");
        const char *value = sheet_people(sheet, row, 1, &scratch);
        add_element(out, "<dd><bdi>", *value ? value : "-", "</bdi></dd>\n");
    }
    text_add(out, "</dl>\n");
}

/* Each opens or closes what belongs to it, in the order of page_frame. */
static const char *const frames[] = {
    [FRAME_FIRST] = "<section class=\"first\">\n",
    [FRAME_PAIR] = "<div class=\"pair\">\n<div>\n",
    [FRAME_NEXT] = "</div>\n<div>\n",
    [FRAME_PAIR_END] = "</div>\n</div>\n",
    [FRAME_REST] = "</section>\n",
};

static void add_plot(struct text *out, const struct block *block)
{
    text_add(out, "<figure>\n");
    plot_render_svg(block->plot, out);
    if (block->text)
        add_element(out, "<figcaption>", block->text, "</figcaption>\n");
    text_add(out, "</figure>\n");
}

static void add_block(struct text *out, const struct block *block)
{
    switch (block->kind) {
    case BLOCK_HEADING:
        text_addf(out, "<h%d>", block->level + 1);
        add_element(out, "", block->text, "");
        text_addf(out, "</h%d>\n", block->level + 1);
        break;
    case BLOCK_PARAGRAPH:
        add_element(out, "<p>", block->text, "</p>\n");
        break;
    case BLOCK_CAUTION:
        add_element(out, "<p class=\"caution\">", block->text, "</p>\n");
        break;
    case BLOCK_FACTS:
        add_facts(out, block->sheet);
        break;
    case BLOCK_TABLE:
        add_table(out, block);
        break;
    case BLOCK_PLOT:
        add_plot(out, block);
        break;
    case BLOCK_COMMANDS:
        add_element(out, "<pre>", block->text, "</pre>\n");
        break;
    case BLOCK_FRAME:
        text_add(out, frames[block->level]);
        break;
    }
}

void page_render_html(const struct page *page, struct text *out)
{
    text_add(out, head);
    add_element(out, "<title>", page->title, "</title>\n");
    text_add(out, style);
    text_add(out, "</head>\n<body>\n<main>\n");
    add_element(out, "<h1>", page->title, "</h1>\n");
    for (size_t at = 0; at < page->count; at++)
        add_block(out, &page->blocks[at]);
    add_element(out, "</main>\n<footer>", page->footer, "</footer>\n</body>\n</html>\n");
}
