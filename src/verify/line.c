/* SPDX-License-Identifier: MIT */
/* The lines of acts between the joins of a history; each commit is read once. */
#include <stdlib.h>
#include <string.h>

#include "first.h"

enum { SLOTS_FIRST = 1024 };

/* An id is as good as a random number. */
static size_t slot_of(const struct line_map *map, const char *id)
{
    char digits[16];
    (void)snprintf(digits, sizeof digits, "%.15s", id);
    size_t at = (size_t)strtoull(digits, NULL, 16) & (map->room - 1);
    while (map->slots[at] && strcmp(map->slots[at]->id, id) != 0)
        at = (at + 1) & (map->room - 1);
    return at;
}

static enum status make_room(struct line_map *map, struct err *err)
{
    struct line_map wider = *map;
    if (map->room > 2 * map->count)
        return STATUS_OK;
    wider.room = map->room ? 2 * map->room : SLOTS_FIRST;
    TRY(arena_take(map->arena, wider.room, sizeof(void *), &wider.slots, err));
    memset(wider.slots, 0, wider.room * sizeof(void *));
    for (size_t at = 0; at < map->room; at++)
        if (map->slots[at])
            wider.slots[slot_of(&wider, map->slots[at]->id)] = map->slots[at];
    *map = wider;
    return STATUS_OK;
}

static enum status find_node(struct line_map *map, struct store *store, const char *id, struct line_node **out,
                             struct err *err)
{
    TRY(make_room(map, err));
    struct line_node **slot = &map->slots[slot_of(map, id)];
    if (!*slot) {
        struct line_node *node = NULL;
        TRY(arena_take(map->arena, 1, sizeof *node, &node, err));
        node->end = NULL;
        (void)snprintf(node->id, sizeof node->id, "%s", id);
        TRY(store_parents(store, node->id, &node->parents, err));
        *slot = node;
        map->count++;
    }
    *out = *slot;
    return STATUS_OK;
}

enum status line_find(struct line_map *map, struct store *store, const char *id, const struct line_node **out,
                      struct err *err)
{
    struct line_node *node = NULL;
    TRY(find_node(map, store, id, &node, err));
    *out = node;
    return STATUS_OK;
}

enum status line_end(struct line_map *map, struct store *store, const struct line_node *from,
                     const struct line_node **out, struct err *err)
{
    struct line_node *node = NULL;
    const struct line_node *end = NULL;
    TRY(find_node(map, store, from->id, &node, err));
    while (!node->end && node->parents.count == 1)
        TRY(find_node(map, store, node->parents.ids[0], &node, err));
    end = node->end ? node->end : node;
    TRY(find_node(map, store, from->id, &node, err));
    while (node != end && !node->end) {
        node->end = end;
        TRY(find_node(map, store, node->parents.ids[0], &node, err));
    }
    *out = end;
    return STATUS_OK;
}
