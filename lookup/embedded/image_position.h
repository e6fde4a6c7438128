/* The embedded image, the reading side: positions, cells and distances, in integers: section 6 of
 * FORMAT.md. See image.h. */
#ifndef THIRSTLINE_IMAGE_POSITION_H
#define THIRSTLINE_IMAGE_POSITION_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image_head.h"

#ifdef __cplusplus
extern "C" {
#endif

/* In 1e-7 degree: latitude -900000000 to 900000000, longitude -1800000000 to 1799999999. */
typedef struct {
    int32_t lat_e7, lon_e7;
} thirstline_position_e7;

#define THIRSTLINE_RIGHT_ANGLE_E7 INT32_C(900000000)
#define THIRSTLINE_STRAIGHT_ANGLE_E7 UINT32_C(1800000000)

/* Positions and lattices are compared in 1/90000000 degree: 1e-7 degree is 9 units, an arc-second
 * 25000. */
#define THIRSTLINE_CIRCLE_UNITS (1296000 * INT64_C(25000))

/* A number modulo `divisor`, never negative. */
static inline int64_t thirstline_rest(int64_t number, int64_t divisor) {
    const int64_t rest = number % divisor;
    return rest < 0 ? rest + divisor : rest;
}

/* The cell that contains a position: its south-west corner, which may be outside the lattice, and
 * the offset from it, in 1/32768 of the spacing. */
typedef struct {
    int32_t row, column;
    uint32_t north_fraction, east_fraction;
} thirstline_cell;

/* The index of the step of equal length, counted from 0, that contains a number (-1 for a number up
 * to one step below 0, and so on), and the offset within it in 1/32768. */
THIRSTLINE_OUTLINE int32_t thirstline_step_of(int64_t number, uint32_t step, uint32_t* fraction) {
    const int64_t rest = thirstline_rest(number, step);
    *fraction = (uint32_t)(((uint64_t)rest << 15) / step);
    return (int32_t)((number - rest) / (int64_t)step);
}

static inline thirstline_cell thirstline_cell_of(const thirstline_image_lattice* lattice,
                                                 thirstline_position_e7 position) {
    const uint32_t cell_units = lattice->spacing_arcsec * 25000u;
    const int at_pole = position.lat_e7 == THIRSTLINE_RIGHT_ANGLE_E7 ||
                        position.lat_e7 == -THIRSTLINE_RIGHT_ANGLE_E7;
    int64_t east = 0;
    thirstline_cell cell;
    cell.row =
        thirstline_step_of((int64_t)position.lat_e7 * 9 - (int64_t)lattice->south_arcsec * 25000,
                           cell_units, &cell.north_fraction);
    if (!at_pole)
        east = thirstline_rest((int64_t)position.lon_e7 * 9 - (int64_t)lattice->west_arcsec * 25000,
                               THIRSTLINE_CIRCLE_UNITS);
    cell.column = thirstline_step_of(east, cell_units, &cell.east_fraction);
    /* Just west of the lattice is column -1, not the last columns of a full circle. */
    if (cell.column >= (int32_t)lattice->columns &&
        east >= THIRSTLINE_CIRCLE_UNITS - (int64_t)cell_units) {
        thirstline_step_of(east - (THIRSTLINE_CIRCLE_UNITS - (int64_t)cell_units), cell_units,
                           &cell.east_fraction);
        cell.column = -1;
    }
    return cell;
}

/* Converts arc-seconds to 1e-7 degree, rounded, halves away from zero. */
static inline int64_t thirstline_e7_of_arcsec(int64_t arcsec) {
    const int64_t twice = arcsec * 50000;
    return (twice + (twice < 0 ? -9 : 9)) / 18;
}

THIRSTLINE_OUTLINE thirstline_position_e7
thirstline_position_of(const thirstline_image_lattice* lattice, uint32_t row, uint32_t column) {
    const int64_t north = lattice->south_arcsec + (int64_t)row * lattice->spacing_arcsec;
    int64_t east = lattice->west_arcsec + (int64_t)column * lattice->spacing_arcsec;
    thirstline_position_e7 position;
    if (east >= 648000) east -= 1296000;
    position.lat_e7 = (int32_t)thirstline_e7_of_arcsec(north);
    position.lon_e7 = (int32_t)thirstline_e7_of_arcsec(east);
    return position;
}

/* A unit vector in 2^-30. */
typedef struct {
    int32_t x, y, z;
} thirstline_direction;

/* The product of two numbers in 2^-30, rounded down. */
THIRSTLINE_OUTLINE int32_t thirstline_product_q30(int32_t a, int32_t b) {
    return (int32_t)((int64_t)a * b >> 30);
}

/* The sine of an angle in 1e-7 degree, up to four right angles in either direction, in 2^-30: by a
 * Taylor polynomial. */
THIRSTLINE_OUTLINE int32_t thirstline_sine(int64_t angle_e7) {
    static const int32_t coefficients[6] = {-3864,    172272,     -5026995,
                                            85569306, -693598668, 1686629713};
    const int32_t sign = angle_e7 < 0 ? -1 : 1;
    uint32_t at, angle = (uint32_t)(angle_e7 < 0 ? -angle_e7 : angle_e7);
    int32_t turned = 1;
    int32_t x, x2, sum = coefficients[0];
    if (angle > THIRSTLINE_STRAIGHT_ANGLE_E7) {
        angle -= THIRSTLINE_STRAIGHT_ANGLE_E7;
        turned = -1;
    }
    if (angle > (uint32_t)THIRSTLINE_RIGHT_ANGLE_E7) angle = THIRSTLINE_STRAIGHT_ANGLE_E7 - angle;
    x = (int32_t)(((uint64_t)angle << 30) / THIRSTLINE_RIGHT_ANGLE_E7);
    x2 = thirstline_product_q30(x, x);
    for (at = 1; at < 6; ++at) sum = coefficients[at] + thirstline_product_q30(sum, x2);
    sum = thirstline_product_q30(sum, x);
    if (sum > INT32_C(1) << 30) sum = INT32_C(1) << 30;
    return sign * turned * sum;
}

static inline thirstline_direction thirstline_direction_of(thirstline_position_e7 position) {
    const int32_t lat_cosine =
        thirstline_sine((int64_t)position.lat_e7 + THIRSTLINE_RIGHT_ANGLE_E7);
    thirstline_direction direction;
    direction.x = thirstline_product_q30(
        lat_cosine, thirstline_sine((int64_t)position.lon_e7 + THIRSTLINE_RIGHT_ANGLE_E7));
    direction.y = thirstline_product_q30(lat_cosine, thirstline_sine(position.lon_e7));
    direction.z = thirstline_sine(position.lat_e7);
    return direction;
}

/* In 2^-60: at most 2^62. */
static inline uint64_t thirstline_squared_chord(const thirstline_direction* a,
                                                thirstline_position_e7 position) {
    const thirstline_direction b = thirstline_direction_of(position);
    const int64_t x = (int64_t)a->x - b.x, y = (int64_t)a->y - b.y, z = (int64_t)a->z - b.z;
    return (uint64_t)(x * x + y * y + z * z);
}

/* The square root, rounded down: a chord in 2^-30. */
static inline uint32_t thirstline_chord(uint64_t squared) {
    uint64_t root = 0, bit;
    for (bit = UINT64_C(1) << 31; bit != 0; bit >>= 1)
        if ((root + bit) * (root + bit) <= squared) root += bit;
    return (uint32_t)root;
}

#define THIRSTLINE_EARTH_RADIUS_M UINT32_C(6371009)

static inline int32_t thirstline_metres_of_chord(uint32_t chord) {
    return (int32_t)((uint64_t)chord * THIRSTLINE_EARTH_RADIUS_M >> 30);
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
