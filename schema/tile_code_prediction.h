/* Codec 1 of a tile, the reading side: what a value is due to be from its neighbours and from other
 * months. See tile_code.h. */
#ifndef THIRSTLINE_TILE_CODE_PREDICTION_H
#define THIRSTLINE_TILE_CODE_PREDICTION_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "schema/tile_code_bytes.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Firmware that reads smaller tiles only may say so, 2 to 8, and saves memory. */
#ifndef THIRSTLINE_ROW
#define THIRSTLINE_ROW 8
#endif

enum {
    THIRSTLINE_BLOCK_EDGE = 8, /* the greatest that the code knows */
    /* Slots of a block are numbered THIRSTLINE_ROW * row + column. */
    THIRSTLINE_BLOCK_SLOTS = THIRSTLINE_ROW * THIRSTLINE_ROW,
    THIRSTLINE_GREATEST_TILE_EDGE = 64,
/* The planes that are kept: see thirstline_block. Only a third layer needs the last. */
#ifdef THIRSTLINE_SMALL
    THIRSTLINE_PLANES = 6,
#else
    THIRSTLINE_PLANES = 7,
#endif
    THIRSTLINE_FIRST_OF_ALL = 6
};

/* Everything here is modulo 2^16: 16 bits are all that is needed, and vectorise well. */

/* Half of a number that is signed modulo 2^16, rounded down; a quarter, likewise. */
static inline uint16_t thirstline_half(uint16_t number) {
    return (uint16_t)(((number ^ 0x8000u) >> 1) - 0x4000u);
}
static inline uint16_t thirstline_quarter(uint16_t number) {
    return (uint16_t)(((number ^ 0x8000u) >> 2) - 0x2000u);
}

/* What a predictor makes of the neighbours to the west, north, north-west and north-east (where
 * there is none to the north-east, of that to the north once more). */
static inline uint16_t thirstline_predicted(uint32_t predictor, uint16_t west, uint16_t north,
                                            uint16_t north_west, uint16_t north_east) {
    const uint16_t north_mean = (uint16_t)(((uint32_t)north + north_east + 1u) >> 1);
    const uint16_t mean = (uint16_t)(((uint32_t)west + north_mean) >> 1);
    const uint16_t plane = (uint16_t)(west + north - north_west);
    switch (predictor) {
        case 0:
            return mean;
        case 1: { /* median edge detector */
            const uint16_t least = west < north ? west : north;
            const uint16_t greatest = west < north ? north : west;
            const uint16_t within = north_west >= greatest ? least : plane;
            return north_west <= least ? greatest : within;
        }
        case 2: /* the plane through west, north and north-west */
            return plane;
        case 3: /* half way from mean to plane */
            return (uint16_t)(mean + thirstline_half((uint16_t)(plane - mean)));
        default: /* three quarters of the way */
            return (uint16_t)(plane - thirstline_quarter((uint16_t)(plane - mean)));
    }
}

#ifdef THIRSTLINE_SMALL

/* What the plane `other` has in a slot beside its own prediction. */
static inline uint32_t thirstline_detail(const uint16_t* other, uint32_t slot, uint32_t column,
                                         uint32_t predictor, uint32_t width) {
    const uint16_t* before = other + slot - THIRSTLINE_ROW;
    uint32_t due;
    if (slot < THIRSTLINE_ROW)
        due = other[slot - 1];
    else if (column == 0)
        due = before[0];
    else
        due = thirstline_predicted(predictor, other[slot - 1], before[0], before[-1],
                                   before[column + 1u < width ? 1 : 0]);
    return other[slot] - due;
}

#else

/* Adds details from row 1 on, past what lies outside the block; the outer columns are spoilt. */
static inline void thirstline_sweep(uint16_t* THIRSTLINE_RESTRICT sums,
                                    const uint16_t* THIRSTLINE_RESTRICT other, uint32_t predictor,
                                    uint16_t weight) {
    uint32_t at;
    for (at = THIRSTLINE_ROW + 1; at < THIRSTLINE_BLOCK_SLOTS; ++at) {
        const uint16_t due =
            thirstline_predicted(predictor, other[at - 1], other[at - THIRSTLINE_ROW],
                                 other[at - THIRSTLINE_ROW - 1], other[at - THIRSTLINE_ROW + 1]);
        sums[at] = (uint16_t)(sums[at] + weight * ((uint32_t)other[at] - due));
    }
}

/* Adds to `sums`, in quarters, what the plane `other` has beside its own prediction,
 * `weight` times.
 */
static inline void thirstline_add_detail(uint16_t* sums, const uint16_t* other, uint32_t predictor,
                                         uint16_t weight, uint32_t width) {
    uint16_t west[THIRSTLINE_ROW], east[THIRSTLINE_ROW];
    uint32_t at;
    for (at = 1; at < THIRSTLINE_ROW; ++at) {
        const uint32_t first = at * THIRSTLINE_ROW, last = first + width - 1u;
        const uint16_t* south = other + first - THIRSTLINE_ROW; /* the row before */
        const uint16_t due_east =
            thirstline_predicted(predictor, other[last - 1], south[width - 1],
                                 south[width > 1 ? width - 2u : 0u], south[width - 1]);
        sums[at] = (uint16_t)(sums[at] + weight * ((uint32_t)other[at] - other[at - 1]));
        west[at] = (uint16_t)(sums[first] + weight * ((uint32_t)other[first] - south[0]));
        east[at] = (uint16_t)(sums[last] + weight * ((uint32_t)other[last] - due_east));
    }
    switch (predictor) { /* a loop for each, so that each is made of vector instructions */
        case 0:
            thirstline_sweep(sums, other, 0, weight);
            break;
        case 1:
            thirstline_sweep(sums, other, 1, weight);
            break;
        case 2:
            thirstline_sweep(sums, other, 2, weight);
            break;
        case 3:
            thirstline_sweep(sums, other, 3, weight);
            break;
        default:
            thirstline_sweep(sums, other, 4, weight);
            break;
    }
    for (at = 1; at < THIRSTLINE_ROW; ++at) {
        sums[at * THIRSTLINE_ROW + width - 1u] = east[at];
        sums[at * THIRSTLINE_ROW] = west[at];
    }
}

#endif

/* Quarters to whole ones, halves upwards. */
static inline void thirstline_whole_quarters(uint16_t* sums) {
    uint32_t at;
    for (at = 0; at < THIRSTLINE_BLOCK_SLOTS; ++at)
        sums[at] = (uint16_t)((((uint16_t)(sums[at] + 2u) ^ 0x8000u) >> 2) - 0x2000u);
}

/* The month of each step: first the quarters' first months, then those that lie between them. */
static inline uint32_t thirstline_month_of_step(uint32_t step) {
    return step < 4 ? 6u * (step & 1u) + 3u * (step >> 1) : step - 3u + ((step - 4u) >> 1);
}

/* The plane of a month among block->planes. */
static inline uint32_t thirstline_plane_of_month(uint32_t month) {
    return month % 3u == 0 ? month / 3u : 3u + month % 3u;
}

/* What a month is predicted from: none, one or two other planes. Returns how many. The first month
 * goes by those of the layers before: the last and, if that is another, the first of all. */
static inline uint32_t thirstline_kin_of_month(uint32_t month, uint32_t layers_before,
                                               uint32_t kin[2]) {
    const uint32_t quarter = month / 3u;
    kin[0] = 0;
    kin[1] = month == 0 ? (uint32_t)THIRSTLINE_FIRST_OF_ALL : 2u;
    if (month == 0)
        return layers_before < THIRSTLINE_PLANES - 5u ? layers_before : THIRSTLINE_PLANES - 5u;
    if (month == 6) return 1;
    if (month % 3u == 0) return 2;
    kin[0] = month % 3u == 1 ? quarter : 4u; /* the month before */
    kin[1] = (quarter + 1u) % 4u;            /* and the next quarter's first */
    return 2;
}

/* The weight that kin have if nothing better is known, in quarters. */
static inline uint32_t thirstline_usual_weight(uint32_t month) {
    return month == 0 ? 0u : month == 6 ? 4u : 2u;
}

/* The value that a month's corner is due to have, from those of January, April, July and October:
 * as a year's first two harmonics run between them. Modulo 2^16. */
static inline uint32_t thirstline_due_corner(const uint16_t quarters[4], uint32_t month,
                                             uint32_t surprise) {
    const uint32_t quarter = month / 3u;
    const uint32_t here = quarters[quarter];
    const uint32_t next = quarters[(quarter + 1u) % 4u];
    const uint32_t opposite = quarters[(quarter + 2u) % 4u];
    const uint32_t before = quarters[(quarter + 3u) % 4u];
    if (month == 6) return opposite;
    if (month == 3) return (before + next + 1u) >> 1;
    if (month == 9) return (2u * next + opposite + before + 2u) >> 2;
    if (month % 3u == 1)
        return (52u * here + 24u * next - 4u * opposite - 8u * before + 32u +
                ((uint32_t)1 << 22)) >>
               6;
    return ((24u * here + 52u * next - 8u * opposite - 4u * before + 32u + ((uint32_t)1 << 22)) >>
            6) +
           ((surprise + 1u + ((uint32_t)1 << 31)) >> 1);
}

/* The Golomb parameter of a month's corners: the first quarters differ most from what is due. */
static inline uint32_t thirstline_corner_parameter(uint32_t layer_parameter, uint32_t month) {
    return layer_parameter + (month == 6 ? 4u : month == 3 || month == 9 ? 1u : 0u);
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
