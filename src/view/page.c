/* SPDX-License-Identifier: MIT */
/* A report gathered block by block, and as plain text. */
#include "coretally/view/page.h"

#include <string.h>

#include "coretally/base/shown.h"
#include "coretally/view/width.h"

void page_init(struct page *page, struct arena *arena, const char *title, const char *footer)
{
    *page = (struct page){.arena = arena, .title = title, .footer = footer};
}

static enum status add_block(struct page *page, const struct block *block, struct err *err)
{
    TRY(arena_grow(page->arena, &page->blocks, page->count, &page->room, sizeof *page->blocks, err));
    struct block *added = &page->blocks[page->count];
    *added = *block;
    if (block->text)
        TRY(arena_copy(page->arena, block->text, strlen(block->text), &added->text, err));
    page->count++;
    return STATUS_OK;
}

enum status page_add_heading(struct page *page, int level, const char *text, struct err *err)
{
    return add_block(page, &(struct block){.kind = BLOCK_HEADING, .level = level, .text = text}, err);
}

enum status page_add_text(struct page *page, enum block_kind kind, const char *text, struct err *err)
{
    return add_block(page, &(struct block){.kind = kind, .text = text}, err);
}

enum status page_add_sheet(struct page *page, enum block_kind kind, const char *caption, const struct sheet *sheet,
                           struct err *err)
{
    return add_block(page, &(struct block){.kind = kind, .text = caption, .sheet = sheet}, err);
}

enum status page_add_plot(struct page *page, const char *caption, const struct plot *plot, struct err *err)
{
    return add_block(page, &(struct block){.kind = BLOCK_PLOT, .text = caption, .plot = plot}, err);
}

enum status page_add_frame(struct page *page, enum page_frame frame, struct err *err)
{
    return add_block(page, &(struct block){.kind = BLOCK_FRAME, .level = (int)frame}, err);
}

/* What people typed does not command the terminal. The columns that it takes, as shown. */
static size_t add_shown(struct text *out, const char *string, size_t len)
{
    const size_t before = out->len;
    text_add_shown(out, string, len, false);
    return out->failed || out->len == before ? 0 : display_width(out->data + before, out->len - before);
}

static size_t shown_width(struct arena *arena, const char *string, size_t len)
{
    struct text scratch;
    text_init(&scratch, arena);
    return add_shown(&scratch, string, len);
}

static void add_underline(struct text *out, const char *mark, size_t width)
{
    text_add(out, "\n");
    for (; width > 0; width--)
        text_add(out, mark);
    text_add(out, "\n");
}

static void add_heading(struct text *out, const struct block *block)
{
    text_add(out, "\n");
    const size_t width = add_shown(out, block->text, strlen(block->text));
    if (block->level < 3)
        add_underline(out, block->level == 1 ? "=" : "-", width);
    else
        text_add(out, "\n");
}

static void add_spaces(struct text *out, size_t count)
{
    for (; count > 0; count--)
        text_add(out, " ");
}

/* Words in lines of at most this many columns, the second and further ones begun so far to the right. */
enum { LINE_COLUMNS = 110 };
static void add_wrapped(struct text *out, const char *string, size_t left)
{
    size_t used = 0;
    while (*string) {
        const size_t len = strcspn(string, " \n");
        const size_t width = shown_width(out->arena, string, len);
        const bool is_full = used && left + used + 1 + width > LINE_COLUMNS;
        text_add(out, is_full ? "\n" : used ? " " : "");
        add_spaces(out, is_full ? left : 0);
        (void)add_shown(out, string, len);
        used = is_full ? width : used + width + (used > 0);
        string += len + (string[len] != '\0');
    }
    text_add(out, "\n");
}

static void add_facts(struct text *out, const struct sheet *sheet)
{
    struct text scratch;
    size_t widest = 0;
    text_init(&scratch, out->arena);
    for (size_t row = 0; row < sheet->row_count; row++) {
        const char *what = sheet_people(sheet, row, 0, &scratch);
        const size_t width = display_width(what, strlen(what));
        widest = width > widest ? width : widest;
    }
    for (size_t row = 0; row < sheet->row_count; row++) {
        const char *what = sheet_people(sheet, row, 0, &scratch);
        add_spaces(out, widest + 2 - add_shown(out, what, strlen(what)));
        const char *value = sheet_people(sheet, row, 1, &scratch);
        add_wrapped(out, *value ? value : "-", widest + 2);
    }
}

static void add_table(struct text *out, const struct block *block)
{
    struct text table;
    text_init(&table, out->arena);
    sheet_render(block->sheet, SHEET_PEOPLE, &table);
    if (block->text) {
        add_wrapped(out, block->text, 0);
        text_add(out, "\n");
    }
    text_add_shown(out, table.data ? table.data : "", table.len, true);
    out->failed = out->failed || table.failed;
}

void page_render_text(const struct page *page, struct text *out)
{
    add_underline(out, "=", add_shown(out, page->title, strlen(page->title)));
    for (size_t at = 0; at < page->count; at++) {
        const struct block *block = &page->blocks[at];
        if (block->kind == BLOCK_PLOT || block->kind == BLOCK_FRAME) /* a plot's numbers stand in a table with it */
            continue;
        if (block->kind != BLOCK_HEADING)
            text_add(out, "\n");
        switch (block->kind) {
        case BLOCK_HEADING:
            add_heading(out, block);
            break;
        case BLOCK_PARAGRAPH:
        case BLOCK_CAUTION:
            add_wrapped(out, block->text, 0);
            break;
        case BLOCK_FACTS:
            add_facts(out, block->sheet);
            break;
        case BLOCK_TABLE:
            add_table(out, block);
            break;
        case BLOCK_COMMANDS:
            text_add_shown(out, block->text, strlen(block->text), true);
            break;
        case BLOCK_PLOT:
        case BLOCK_FRAME:
            break;
        }
    }
    text_add(out, "\n");
    add_wrapped(out, page->footer, 0);
}
