/* SPDX-License-Identifier: MIT */
/* Two histories made one. */
#include "coretally/join/join.h"
