/* Codec 1 of a tile, the reading side: what a value is predicted to be from its neighbours and from
 * other months. See tile_code.h. */
#ifndef THIRSTLINE_TILE_CODE_PREDICTION_H
#define THIRSTLINE_TILE_CODE_PREDICTION_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "schema/tile_code/tile_code_bytes.h"

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
/* Values of a plane in memory: eight slots at a time go one past the last. */
#ifdef THIRSTLINE_SMALL
    THIRSTLINE_PLANE_VALUES = THIRSTLINE_BLOCK_SLOTS,
#else
    THIRSTLINE_PLANE_VALUES = THIRSTLINE_BLOCK_SLOTS + THIRSTLINE_ROW,
#endif
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

/* The mean of two, rounded down: in 32 bits. */
static inline uint16_t thirstline_mean(uint16_t a, uint16_t b) {
    return (uint16_t)(((uint32_t)a + b) >> 1);
}

/* What a predictor makes of the neighbours to the west, north and north-west, and of `mean`: that
 * of west and the mean of north and north-east, rounded up; where there is none to the north-east,
 * of west and north. */
static inline uint16_t thirstline_predicted_by(uint32_t predictor, uint16_t west, uint16_t north,
                                               uint16_t north_west, uint16_t mean) {
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

/* The same from the value to the north-east (where there is none, that to the north once more). */
static inline uint16_t thirstline_predicted(uint32_t predictor, uint16_t west, uint16_t north,
                                            uint16_t north_west, uint16_t north_east) {
    const uint16_t north_mean = (uint16_t)(((uint32_t)north + north_east + 1u) >> 1);
    return thirstline_predicted_by(predictor, west, north, north_west,
                                   thirstline_mean(west, north_mean));
}

#ifdef THIRSTLINE_SMALL

/* What the plane `other` has in a slot beside its own prediction. */
static inline uint32_t thirstline_detail(const uint16_t* other, uint32_t slot, uint32_t column,
                                         uint32_t predictor, uint32_t width) {
    const uint16_t* before = other + slot - THIRSTLINE_ROW;
    uint32_t predicted;
    if (slot < THIRSTLINE_ROW)
        predicted = other[slot - 1];
    else if (column == 0)
        predicted = before[0];
    else
        predicted = thirstline_predicted(predictor, other[slot - 1], before[0], before[-1],
                                         before[column + 1u < width ? 1 : 0]);
    return other[slot] - predicted;
}

#else

/* Means of two, rounded down and up, without a 17th bit: so eight fit a vector register. */
static inline uint16_t thirstline_lane_mean(uint16_t a, uint16_t b) {
    return (uint16_t)((a & b) + ((a ^ b) >> 1));
}
static inline uint16_t thirstline_upper_lane_mean(uint16_t a, uint16_t b) {
    return (uint16_t)((a | b) - ((a ^ b) >> 1));
}

/* `a` where the mask's bits are 1, `b` where they are 0. */
static inline uint16_t thirstline_chosen(uint16_t mask, uint16_t a, uint16_t b) {
    return (uint16_t)(b ^ ((a ^ b) & mask));
}

/* Slots from the second row's second column on, as thirstline_add_detail takes them. */
enum { THIRSTLINE_LANES = THIRSTLINE_BLOCK_SLOTS - THIRSTLINE_ROW };

/* Which lanes stand in their block's first column, and which in its last: all bits 1. */
typedef struct {
    uint16_t first[THIRSTLINE_LANES], last[THIRSTLINE_LANES];
} thirstline_outer_columns;

static inline void thirstline_fill_outer_columns(uint32_t width,
                                                 thirstline_outer_columns* columns) {
    uint32_t lane;
    for (lane = 0; lane < THIRSTLINE_LANES; ++lane) {
        const uint32_t column = (lane + 1u) % THIRSTLINE_ROW;
        columns->first[lane] = column == 0 ? 0xFFFFu : 0u;
        columns->last[lane] = column == width - 1u ? 0xFFFFu : 0u;
    }
}

/* Adds to `sums`, in quarters, what the plane `other` has beside its own prediction, `weight`
 * times, in all slots but the first; what lies east of a narrow block is spoilt. One loop from the
 * second row on, so that it is made of vector instructions: it ends one past the last row. */
static THIRSTLINE_ALWAYS_INLINE void thirstline_add_detail_by(
    uint16_t* THIRSTLINE_RESTRICT sums, const uint16_t* THIRSTLINE_RESTRICT other,
    uint32_t predictor, uint16_t weight,
    const thirstline_outer_columns* THIRSTLINE_RESTRICT columns, uint32_t lanes) {
    const uint16_t corner = other[0];
    uint32_t at, lane;
    for (at = 1; at < THIRSTLINE_ROW; ++at)
        sums[at] = (uint16_t)(sums[at] + weight * ((uint32_t)other[at] - other[at - 1]));
    sums[at] = (uint16_t)(sums[at] + weight * ((uint32_t)other[at] - corner));
    for (lane = 0, at = THIRSTLINE_ROW + 1; lane < lanes; ++lane, ++at) {
        const uint16_t west = other[at - 1];
        const uint16_t north = other[at - THIRSTLINE_ROW];
        const uint16_t north_east =
            thirstline_chosen(columns->last[lane], north, other[at - THIRSTLINE_ROW + 1]);
        const uint16_t within = thirstline_predicted_by(
            predictor, west, north, other[at - THIRSTLINE_ROW - 1],
            thirstline_lane_mean(west, thirstline_upper_lane_mean(north, north_east)));
        const uint16_t predicted = thirstline_chosen(columns->first[lane], north, within);
        sums[at] = (uint16_t)(sums[at] + weight * ((uint32_t)other[at] - predicted));
    }
}

static inline void thirstline_add_detail(uint16_t* sums, const uint16_t* other, uint32_t predictor,
                                         uint16_t weight, const thirstline_outer_columns* columns,
                                         uint32_t end_row) {
    const uint32_t lanes = (end_row - 1u) * THIRSTLINE_ROW;
    switch (predictor) { /* a loop for each, so that each is made of vector instructions */
        case 0:
            thirstline_add_detail_by(sums, other, 0, weight, columns, lanes);
            break;
        case 1:
            thirstline_add_detail_by(sums, other, 1, weight, columns, lanes);
            break;
        case 2:
            thirstline_add_detail_by(sums, other, 2, weight, columns, lanes);
            break;
        case 3:
            thirstline_add_detail_by(sums, other, 3, weight, columns, lanes);
            break;
        default:
            thirstline_add_detail_by(sums, other, 4, weight, columns, lanes);
            break;
    }
}

#endif

/* Completes a row after the first: every value is the prediction and its sum of change and
 * residual. */
static THIRSTLINE_ALWAYS_INLINE void thirstline_complete_row(uint16_t* here, uint32_t width,
                                                    uint32_t predictor, const uint16_t* sums) {
    const uint16_t* north = here - THIRSTLINE_ROW;
    uint16_t west = (uint16_t)(north[0] + sums[0]);
    uint32_t column;
#ifndef THIRSTLINE_SMALL
    uint16_t north_means[THIRSTLINE_ROW];
    for (column = 0; column < THIRSTLINE_ROW; ++column)
        north_means[column] = thirstline_upper_lane_mean(north[column], north[column + 1]);
    north_means[width - 1u] = north[width - 1u];
#endif
    here[0] = west;
    for (column = 1; column < width; ++column) {
#ifdef THIRSTLINE_SMALL
        const uint16_t predicted =
            thirstline_predicted(predictor, west, north[column], north[column - 1],
                                 north[column + 1u < width ? column + 1u : column]);
#else
        const uint16_t predicted =
            thirstline_predicted_by(predictor, west, north[column], north[column - 1],
                                    thirstline_mean(west, north_means[column]));
#endif
        west = (uint16_t)(predicted + sums[column]);
        here[column] = west;
    }
}

/* Quarters to whole ones, halves upwards. */
static inline void thirstline_whole_quarters(uint16_t* sums) {
    uint32_t at;
    for (at = 0; at < THIRSTLINE_BLOCK_SLOTS; ++at)
        sums[at] = thirstline_quarter((uint16_t)(sums[at] + 2u));
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
static inline uint32_t thirstline_references_of_month(uint32_t month, uint32_t layers_before,
                                                      uint32_t references[2]) {
    const uint32_t quarter = month / 3u;
    references[0] = 0;
    references[1] = month == 0 ? (uint32_t)THIRSTLINE_FIRST_OF_ALL : 2u;
    if (month == 0)
        return layers_before < THIRSTLINE_PLANES - 5u ? layers_before : THIRSTLINE_PLANES - 5u;
    if (month == 6) return 1;
    if (month % 3u == 0) return 2;
    references[0] = month % 3u == 1 ? quarter : 4u; /* the month before */
    references[1] = (quarter + 1u) % 4u;            /* and the next quarter's first */
    return 2;
}

/* The weight of references if nothing better is known, in quarters. */
static inline uint32_t thirstline_default_weight(uint32_t month) {
    return month == 0 ? 0u : month == 6 ? 4u : 2u;
}

/* The value that a month's corner is predicted to have, from those of January, April, July and
 * October: as a year's first two harmonics run between them. Modulo 2^16. */
static inline uint32_t thirstline_predicted_corner(const uint16_t quarters[4], uint32_t month,
                                                   uint32_t corner_error) {
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
           ((corner_error + 1u + ((uint32_t)1 << 31)) >> 1);
}

/* The Golomb parameter of a month's corners: the first quarters differ most from what is predicted.
 */
static inline uint32_t thirstline_corner_parameter(uint32_t layer_parameter, uint32_t month) {
    return layer_parameter + (month == 6 ? 4u : month == 3 || month == 9 ? 1u : 0u);
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
