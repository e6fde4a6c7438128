/* Codec 1 of a tile, the reading side: how a value is predicted from its neighbours and from other
 * months. See tile_code.h. */
#ifndef THIRSTLINE_TILE_CODE_PREDICTION_H
#define THIRSTLINE_TILE_CODE_PREDICTION_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "schema/tile_code/tile_code_bytes.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Firmware that reads only smaller tiles may define a smaller edge, 2 to 8, which saves memory. */
#ifndef THIRSTLINE_ROW
#define THIRSTLINE_ROW 8
#endif

enum {
    THIRSTLINE_BLOCK_EDGE = 8, /* the largest edge of the code */
    /* Slots of a block are numbered THIRSTLINE_ROW * row + column. */
    THIRSTLINE_BLOCK_SLOTS = THIRSTLINE_ROW * THIRSTLINE_ROW,
/* Values of a plane in memory: processing eight slots at a time accesses one past the last. */
#ifdef THIRSTLINE_SMALL
    THIRSTLINE_PLANE_VALUES = THIRSTLINE_BLOCK_SLOTS,
#else
    THIRSTLINE_PLANE_VALUES = THIRSTLINE_BLOCK_SLOTS + THIRSTLINE_ROW,
#endif
    THIRSTLINE_GREATEST_TILE_EDGE = 64,
/* The planes that are kept: see thirstline_block. Only a third layer uses the last. */
#ifdef THIRSTLINE_SMALL
    THIRSTLINE_PLANES = 6,
#else
    THIRSTLINE_PLANES = 7,
#endif
    THIRSTLINE_FIRST_OF_ALL = 6
};

/* Everything here is modulo 2^16: 16 bits are sufficient and vectorise well. */

/* Half of a signed number modulo 2^16, rounded down; a quarter, likewise. */
static inline uint16_t thirstline_half(uint16_t number) {
    return (uint16_t)(((number ^ 0x8000u) >> 1) - 0x4000u);
}
static inline uint16_t thirstline_quarter(uint16_t number) {
    return (uint16_t)(((number ^ 0x8000u) >> 2) - 0x2000u);
}

/* The mean of two numbers, rounded down; computed in 32 bits. */
static inline uint16_t thirstline_mean(uint16_t a, uint16_t b) {
    return (uint16_t)(((uint32_t)a + b) >> 1);
}

/* A predictor's value from the neighbours to the west, north and north-west, and from `mean`: that
 * of west and the mean of north and north-east, rounded up; without a north-east neighbour, that of
 * west and north. */
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
        case 3: /* halfway from mean to plane */
            return (uint16_t)(mean + thirstline_half((uint16_t)(plane - mean)));
        default: /* three quarters of the way */
            return (uint16_t)(plane - thirstline_quarter((uint16_t)(plane - mean)));
    }
}

/* The same with the north-east neighbour (if there is none, pass the north one again). */
static inline uint16_t thirstline_predicted(uint32_t predictor, uint16_t west, uint16_t north,
                                            uint16_t north_west, uint16_t north_east) {
    const uint16_t north_mean = (uint16_t)(((uint32_t)north + north_east + 1u) >> 1);
    return thirstline_predicted_by(predictor, west, north, north_west,
                                   thirstline_mean(west, north_mean));
}

#ifdef THIRSTLINE_SMALL

/* The detail of plane `other` in a slot: its value minus its own prediction. */
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

/* Means of two numbers, rounded down and up, without a 17th bit, so that eight fit a vector
   register. */
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

/* Slots from the second row's second column on, as processed by thirstline_add_detail. */
enum { THIRSTLINE_LANES = THIRSTLINE_BLOCK_SLOTS - THIRSTLINE_ROW };

/* Masks of the lanes in their block's first column and in its last: all bits 1. */
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

/* Adds `weight` times the detail of plane `other`, in quarters, to `sums`, in all slots except the
 * first; slots east of a narrow block are overwritten. A single loop from the second row on, so
 * that it is vectorised; it ends one slot past the last row. */
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
    switch (predictor) { /* a loop for each, so that each is vectorised */
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

/* Completes a row after the first: each value is the prediction plus its sum of change and
 * residual. */
static THIRSTLINE_ALWAYS_INLINE void thirstline_complete_row(uint16_t* here, uint32_t width,
                                                             uint32_t predictor,
                                                             const uint16_t* sums) {
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

/* Converts quarters to whole units, halves rounded up. */
static inline void thirstline_whole_quarters(uint16_t* sums) {
    uint32_t at;
    for (at = 0; at < THIRSTLINE_BLOCK_SLOTS; ++at)
        sums[at] = thirstline_quarter((uint16_t)(sums[at] + 2u));
}

/* The month of each step: first the first months of the quarters, then the months between them. */
static inline uint32_t thirstline_month_of_step(uint32_t step) {
    return step < 4 ? 6u * (step & 1u) + 3u * (step >> 1) : step - 3u + ((step - 4u) >> 1);
}

/* Index of a month's plane in block->planes. */
static inline uint32_t thirstline_plane_of_month(uint32_t month) {
    return month % 3u == 0 ? month / 3u : 3u + month % 3u;
}

/* The planes that a month is predicted from: none, one or two. Returns their number. The first
 * month refers to those of earlier layers: the last layer's and, if different, the first
 * layer's. */
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
    references[1] = (quarter + 1u) % 4u;            /* and the first month of the next quarter */
    return 2;
}

/* The weight of references if none is coded, in quarters. */
static inline uint32_t thirstline_default_weight(uint32_t month) {
    return month == 0 ? 0u : month == 6 ? 4u : 2u;
}

/* The predicted value of a month's corner, from those of January, April, July and October:
 * interpolated with a year's first two harmonics. Modulo 2^16. */
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

/* The Golomb parameter of a month's corners: those of the quarters' first months differ most from
   the prediction. */
static inline uint32_t thirstline_corner_parameter(uint32_t layer_parameter, uint32_t month) {
    return layer_parameter + (month == 6 ? 4u : month == 3 || month == 9 ? 1u : 0u);
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
