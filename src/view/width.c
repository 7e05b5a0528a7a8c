/* SPDX-License-Identifier: MIT */
/* The width of texts on a terminal, asked of libunistring. */
#include "coretally/view/width.h"

#include <uniwidth.h>

size_t display_width(const char *data, size_t len)
{
    size_t plain = 0; /* most cells are ASCII, a column a character; asking costs a tenth of a long list */
    while (plain < len && data[plain] >= 0x20 && data[plain] < 0x7F)
        plain++;
    if (plain == len)
        return len;
    const int width = u8_width((const uint8_t *)data, len, "UTF-8");
    return width > 0 ? (size_t)width : 0;
}
