/* SPDX-License-Identifier: MIT */
/* Plain holes, cores, sections and samples for tests of the domain: everything absent but what is asked for. */
#ifndef CORETALLY_TESTS_PARTS_H
#define CORETALLY_TESTS_PARTS_H

#include <math.h>

#include "coretally/base/quantity.h"
#include "coretally/domain/sample.h"

static inline struct hole part_hole(int64_t seafloor_um)
{
    return (struct hole){.site = "U0012",
                         .letter = "A",
                         .rig_floor_um = LENGTH_NONE,
                         .seafloor_um = seafloor_um,
                         .seafloor_by = seafloor_um == LENGTH_NONE ? SEAFLOOR_NONE : SEAFLOOR_TAGGED,
                         .mudline_bit_um = LENGTH_NONE,
                         .mudline_stroke_um = LENGTH_NONE,
                         .mudline_recovered_um = LENGTH_NONE,
                         .returns = RETURNS_SEAFLOOR,
                         .zone_min = INT_NONE,
                         .tolerance_um = LENGTH_NONE,
                         .heave_um = LENGTH_NONE,
                         .tide_um = LENGTH_NONE,
                         .kickoff_um = LENGTH_NONE};
}

static inline struct core part_core(int64_t top_um, int64_t bottom_um, struct section *sections, size_t count)
{
    return (struct core){.hole = "U0012A",
                         .number = 3,
                         .type = 'H',
                         .top_um = top_um,
                         .bottom_um = bottom_um,
                         .datum = DATUM_RIG_FLOOR,
                         .advance_by = bottom_um == LENGTH_NONE ? ADVANCE_UNKNOWN : ADVANCE_PIPE,
                         .recovered_um = LENGTH_NONE,
                         .liner_um = LENGTH_NONE,
                         .curated_um = LENGTH_NONE,
                         .sections = sections,
                         .section_count = count};
}

static inline struct section part_section(int32_t number, int64_t curated_um)
{
    return (struct section){.number = number, .liner_um = LENGTH_NONE, .curated_um = curated_um};
}

static inline struct sample part_sample(int32_t section, enum half half, int64_t top_cm, int64_t bottom_cm)
{
    return (struct sample){.section = section,
                           .half = half,
                           .top_um = top_cm * 10000,
                           .bottom_um = bottom_cm * 10000,
                           .volume_cm3 = NAN,
                           .mass_g = NAN};
}

#endif
