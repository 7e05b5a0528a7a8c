/* SPDX-License-Identifier: MIT */
/* The width of texts on a terminal, asked of libunistring. */
#include "coretally/view/width.h"

#include <uniwidth.h>

size_t display_width(const char *data, size_t len)
{
    const int width = u8_width((const uint8_t *)data, len, "UTF-8");
    return width > 0 ? (size_t)width : 0;
}
