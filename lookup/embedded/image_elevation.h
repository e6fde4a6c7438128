/* The embedded image, the reading side: answers for a site's own elevation, from images that have
 * the changes of their values with elevation. See image.h. */
#ifndef THIRSTLINE_IMAGE_ELEVATION_H
#define THIRSTLINE_IMAGE_ELEVATION_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image_look_up.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    THIRSTLINE_IMAGE_GRADIENTS = 4, /* of eto, rain, tmax, tmin: ids 10 to 13 */
    THIRSTLINE_IMAGE_FIRST_GRADIENT = 10,
    THIRSTLINE_IMAGE_GREATEST_SQUARE = 16,
    THIRSTLINE_IMAGE_LOWEST_M = -1000,
    THIRSTLINE_IMAGE_HIGHEST_M = 10000
};
#define THIRSTLINE_IMAGE_MAX_SHIFT_CM INT32_C(150000)
#define THIRSTLINE_CM_PER_KM INT64_C(100000)
#define THIRSTLINE_GROWTH_ONE ((int64_t)1 << 28)

/* The squares of points of a lattice that share their changes with elevation. */
typedef struct {
    uint16_t divisor[THIRSTLINE_IMAGE_GRADIENTS]; /* 0: the image has none of this value */
    uint32_t offset, square_bytes;
    uint32_t edge;                        /* points along a side */
    uint32_t rows_before, columns_before; /* of the first square, outside the lattice */
    uint32_t rows, columns;               /* of squares */
} thirstline_image_squares;

/* Half away from zero; `divisor` is positive. */
THIRSTLINE_OUTLINE int64_t thirstline_rounded_quotient(int64_t number, int64_t divisor) {
    const uint64_t size = number < 0 ? 0u - (uint64_t)number : (uint64_t)number;
    const uint64_t quotient = (size + (uint64_t)divisor / 2u) / (uint64_t)divisor;
    return number < 0 ? -(int64_t)quotient : (int64_t)quotient;
}

static inline int64_t thirstline_within(int64_t value, int64_t least, int64_t most) {
    return value < least ? least : value > most ? most : value;
}

static inline int32_t thirstline_within_answers(int64_t value) {
    return (int32_t)thirstline_within(value, -INT32_MAX, INT32_MAX);
}

/* Reads where the squares of a lattice are. */
static inline thirstline_image_status thirstline_image_squares_of(
    const thirstline_image* image, uint32_t lattice, thirstline_image_squares* squares) {
    const uint32_t count = 4u * THIRSTLINE_IMAGE_GRADIENTS + 8u * image->lattice_count +
                           (uint32_t)THIRSTLINE_IMAGE_CRC_BYTES;
    thirstline_image_status status;
    const uint8_t* bytes =
        thirstline_image_record(&image->source, thirstline_image_texts_end(image), count, &status);
    const uint8_t* place;
    uint32_t at;
    if (bytes == NULL) return status;
    squares->square_bytes = THIRSTLINE_IMAGE_CRC_BYTES;
    for (at = 0; at < THIRSTLINE_IMAGE_GRADIENTS; ++at) {
        const uint32_t id = thirstline_u16(bytes + 4 * at);
        const uint32_t divisor = thirstline_u16(bytes + 4 * at + 2);
        if (id == 0 ? divisor != 0
                    : id != THIRSTLINE_IMAGE_FIRST_GRADIENT + at || divisor < 1 || divisor > 10000)
            return THIRSTLINE_IMAGE_DAMAGED;
        squares->divisor[at] = (uint16_t)divisor;
        if (divisor != 0) squares->square_bytes += 2u * 12u;
    }
    place = bytes + 4u * THIRSTLINE_IMAGE_GRADIENTS + 8u * lattice;
    squares->edge = place[0];
    squares->rows_before = place[1];
    squares->columns_before = place[2];
    squares->offset = thirstline_u32(place + 4);
    if (squares->edge < 1 || squares->edge > THIRSTLINE_IMAGE_GREATEST_SQUARE ||
        squares->rows_before >= squares->edge || squares->columns_before >= squares->edge)
        return THIRSTLINE_IMAGE_DAMAGED;
    squares->rows =
        (squares->rows_before + image->lattices[lattice].rows - 1u) / squares->edge + 1u;
    squares->columns =
        (squares->columns_before + image->lattices[lattice].columns - 1u) / squares->edge + 1u;
    /* At most 1296000 columns of 100 bytes. */
    return thirstline_image_holds(image, squares->offset, squares->rows,
                                  squares->columns * squares->square_bytes)
               ? THIRSTLINE_IMAGE_OK
               : THIRSTLINE_IMAGE_DAMAGED;
}

/* The bytes of a square, by its number from the south-west, row by row; checked, and valid until
 * others are requested. */
static inline const uint8_t* thirstline_image_square(const thirstline_image* image,
                                                     const thirstline_image_squares* squares,
                                                     uint32_t number,
                                                     thirstline_image_status* status) {
    return thirstline_image_record(&image->source, squares->offset + number * squares->square_bytes,
                                   squares->square_bytes, status);
}

/* The changes with elevation of two values, `first` and the one after it, by month: like those of
 * an answer, of the corners that it was made from. */
static inline thirstline_image_status thirstline_image_gradients_of(
    const thirstline_image_search* search, const thirstline_image_corners* corners,
    const thirstline_image_squares* squares, uint32_t first, int32_t gradients[2][12]) {
    int64_t sums[2][12] = {{0}};
    uint32_t weights[2][12] = {{0}};
    const uint32_t tile_edge = search->image->tile_edge;
    const uint8_t* square = NULL;
    uint32_t corner, layer, month, number = 0, before = 0;
    for (layer = 0; layer < first; ++layer) before += squares->divisor[layer] != 0 ? 24u : 0u;
    for (corner = 0; corner < THIRSTLINE_IMAGE_CORNERS; ++corner) {
        const uint32_t slot = corners->slot[corner], last = number;
        const uint8_t* bytes;
        uint32_t row, column;
        if (((uint32_t)corners->used >> corner & 1u) == 0) continue;
        row = corners->tile_row[corner >> 1] * tile_edge + slot / THIRSTLINE_ROW -
              search->tiling.row_offset % tile_edge;
        column = corners->tile_column[corner & 1u] * tile_edge + slot % THIRSTLINE_ROW -
                 search->tiling.column_offset % tile_edge;
        number = (row + squares->rows_before) / squares->edge * squares->columns +
                 (column + squares->columns_before) / squares->edge;
        if (square == NULL || number != last) { /* most cells lie in one square */
            thirstline_image_status status;
            square = thirstline_image_square(search->image, squares, number, &status);
            if (square == NULL) return status;
        }
        bytes = square + before;
        for (layer = 0; layer < 2; ++layer) {
            if (squares->divisor[first + layer] == 0) continue;
            for (month = 0; month < 12; ++month, bytes += 2) {
                const uint32_t bits = thirstline_u16(bytes);
                if (bits == 0x8000u) continue; /* not known */
                weights[layer][month] += corners->weight[corner];
                sums[layer][month] +=
                    (int64_t)corners->weight[corner] *
                    (bits < 0x8000u ? (int32_t)bits : (int32_t)bits - INT32_C(0x10000));
            }
        }
    }
    for (layer = 0; layer < 2; ++layer)
        for (month = 0; month < 12; ++month)
            gradients[layer][month] = weights[layer][month] == 0
                                          ? THIRSTLINE_IMAGE_MISSING
                                          : (int32_t)thirstline_rounded_quotient(
                                                sums[layer][month] * 100, weights[layer][month]);
    return THIRSTLINE_IMAGE_OK;
}

static inline int32_t thirstline_shifted(int32_t value, uint32_t divisor, int32_t gradient,
                                         uint32_t gradient_divisor, int32_t rise_cm) {
    return thirstline_within_answers(
        value + thirstline_rounded_quotient((int64_t)gradient * rise_cm * (int64_t)divisor,
                                            (int64_t)gradient_divisor * THIRSTLINE_CM_PER_KM));
}

static inline int32_t thirstline_shifted_eto(int32_t value, uint32_t divisor, int32_t gradient,
                                             uint32_t gradient_divisor, int32_t rise_cm) {
    const int64_t half = thirstline_rounded_quotient(value, 2), twice = (int64_t)value * 2;
    const int64_t shifted =
        thirstline_within(thirstline_shifted(value, divisor, gradient, gradient_divisor, rise_cm),
                          half < twice ? half : twice, half < twice ? twice : half);
    return shifted < 0 ? 0 : thirstline_within_answers(shifted);
}

/* exp(gradient * rise), a quarter to four, in 2^-28. */
static inline int64_t thirstline_rain_growth(int32_t gradient, uint32_t divisor, int32_t rise_cm) {
    const int64_t unit = (int64_t)divisor * 100;
    const int64_t most = thirstline_rounded_quotient(unit * 1386294, 1000000); /* ln 4 */
    const int64_t share = thirstline_within(
        thirstline_rounded_quotient((int64_t)gradient * rise_cm, THIRSTLINE_CM_PER_KM), -most,
        most);
    const int64_t x = thirstline_rounded_quotient(share * THIRSTLINE_GROWTH_ONE, unit * 16);
    const int64_t square = thirstline_rounded_quotient(x * x, THIRSTLINE_GROWTH_ONE);
    int64_t growth = THIRSTLINE_GROWTH_ONE + x + thirstline_rounded_quotient(square, 2) +
                     thirstline_rounded_quotient(square * x, 6 * THIRSTLINE_GROWTH_ONE);
    int at;
    for (at = 0; at < 4; ++at)
        growth = thirstline_rounded_quotient(growth * growth, THIRSTLINE_GROWTH_ONE);
    return growth;
}

/* The root of the sum of squares of a standard error and of a share of the adjusted value. */
static inline int32_t thirstline_grown_error(int64_t error, uint32_t error_divisor, int32_t value,
                                             uint32_t divisor, int32_t percent_per_km,
                                             int32_t rise_cm) {
    const int64_t distance_cm = rise_cm < 0 ? -(int64_t)rise_cm : rise_cm;
    const int64_t share = thirstline_rounded_quotient((int64_t)value * percent_per_km * distance_cm,
                                                      100 * THIRSTLINE_CM_PER_KM);
    const int64_t own = thirstline_within_answers(error);
    const int64_t more = thirstline_within_answers(
        thirstline_rounded_quotient(share * (int64_t)error_divisor, (int64_t)divisor));
    const uint64_t square = (uint64_t)(own * own) + (uint64_t)(more * more);
    uint64_t root = 0, bit;
    for (bit = (uint64_t)1 << 31; bit != 0; bit >>= 1)
        if ((root | bit) * (root | bit) <= square) root |= bit;
    return thirstline_within_answers((int64_t)root);
}

/* The number of an answer's layer with that id, or its layer_count. */
static inline uint32_t thirstline_image_number_of(const thirstline_image* image,
                                                  const thirstline_image_answer* answer,
                                                  uint32_t id) {
    uint32_t at;
    for (at = 0; at < answer->layer_count; ++at)
        if (image->layers[answer->layers[at]].id == id) break;
    return at;
}

/* Adjusts the layer `id` of an answer, or its standard error: then `means` has its value. */
static inline void thirstline_image_adjust_layer(const thirstline_image* image, uint32_t id,
                                                 uint32_t gradient_divisor,
                                                 const int32_t gradients[12], int32_t rise_cm,
                                                 const thirstline_image_answer* means,
                                                 thirstline_image_answer* answer) {
    const uint32_t number = thirstline_image_number_of(image, means, id);
    const uint32_t error = thirstline_image_number_of(image, answer, id + 2u);
    const int is_error = answer != means;
    uint32_t divisor, error_divisor = 0, month;
    if (gradient_divisor == 0 || number == means->layer_count) return;
    if (is_error && error == answer->layer_count) return;
    divisor = image->layers[means->layers[number]].divisor;
    if (is_error) error_divisor = image->layers[answer->layers[error]].divisor;
    for (month = 0; month < 12; ++month) {
        const int32_t gradient = gradients[month];
        int32_t value = thirstline_image_value(means, number, month);
        int64_t growth = THIRSTLINE_GROWTH_ONE;
        int32_t percent_per_km = 10;
        if (value == THIRSTLINE_IMAGE_MISSING || gradient == THIRSTLINE_IMAGE_MISSING) continue;
        if (id == 1) {
            value = thirstline_shifted_eto(value, divisor, gradient, gradient_divisor, rise_cm);
        } else if (id == 2) {
            growth = thirstline_rain_growth(gradient, gradient_divisor, rise_cm);
            percent_per_km = rise_cm > 0 ? 30 : 15;
            value = thirstline_within_answers(
                thirstline_rounded_quotient(value * growth, THIRSTLINE_GROWTH_ONE));
            if (value < 0) value = 0;
        } else {
            value = thirstline_shifted(value, divisor, gradient, gradient_divisor, rise_cm);
        }
        if (!is_error) {
            answer->words[12u * number + month] = (uint32_t)value;
        } else if (thirstline_image_value(answer, error, month) != THIRSTLINE_IMAGE_MISSING) {
            const int64_t own = thirstline_image_value(answer, error, month);
            answer->words[12u * error + month] = (uint32_t)thirstline_grown_error(
                id == 2 ? thirstline_rounded_quotient(own * growth, THIRSTLINE_GROWTH_ONE) : own,
                error_divisor, value, divisor, percent_per_km, rise_cm);
        }
    }
}

/* Site's elevation minus that of the points, in centimetres. */
static inline int64_t thirstline_image_rise_cm(const thirstline_image* image,
                                               const thirstline_image_answer* elevation,
                                               int32_t elevation_m) {
    const int64_t unit = (int64_t)image->layers[elevation->layers[0]].divisor * 100;
    const int64_t own_cm = (int64_t)thirstline_image_value(elevation, 0, 0) * 100 / unit;
    return (int64_t)elevation_m * 100 - own_cm;
}

/* Like thirstline_image_look_up, with the values adjusted to the site's own elevation, whole metres
 * from -1000 to 10000; the part of elevations is not changed. The status is BAD_ARGUMENT if the
 * elevation is more than 1500 m above or below that of the points, or if the image cannot do this,
 * as thirstline_image_has_gradients says. Usually takes four more reads than without, six for
 * standard errors. The buffer must be large enough for the elevations, too, and with standard
 * errors for the means. */
static inline thirstline_image_status thirstline_image_look_up_at_elevation(
    const thirstline_image* image, thirstline_position_e7 position, int32_t elevation_m,
    uint32_t part, thirstline_image_answer* answer) {
    thirstline_image_answer other;
    thirstline_image_search search;
    thirstline_image_corners corners;
    thirstline_image_squares squares = {{0, 0, 0, 0}, 0, 0, 0, 0, 0, 0, 0};
    thirstline_image_status status;
    int32_t gradients[2][12];
    int64_t rise_cm;
    uint32_t at;
    const uint32_t first = part == THIRSTLINE_IMAGE_TEMPERATURES ? 2u : 0u;
    const thirstline_image_answer* means = answer;
    if (!thirstline_image_has_gradients(image) || elevation_m < THIRSTLINE_IMAGE_LOWEST_M ||
        elevation_m > THIRSTLINE_IMAGE_HIGHEST_M)
        return THIRSTLINE_IMAGE_BAD_ARGUMENT;
    status = thirstline_image_look_up(image, position, THIRSTLINE_IMAGE_ELEVATION, &other);
    if (status != THIRSTLINE_IMAGE_OK) return status;
    status = thirstline_image_search_for(image, position, part, answer, &search, &corners);
    if (status != THIRSTLINE_IMAGE_OK || part == THIRSTLINE_IMAGE_ELEVATION ||
        thirstline_image_value(&other, 0, 0) == THIRSTLINE_IMAGE_MISSING)
        return status;
    rise_cm = thirstline_image_rise_cm(image, &other, elevation_m);
    if (rise_cm > THIRSTLINE_IMAGE_MAX_SHIFT_CM || rise_cm < -THIRSTLINE_IMAGE_MAX_SHIFT_CM)
        return THIRSTLINE_IMAGE_BAD_ARGUMENT;
    if (part == THIRSTLINE_IMAGE_STANDARD_ERRORS) {
        status = thirstline_image_look_up(image, position, THIRSTLINE_IMAGE_MEANS, &other);
        if (status != THIRSTLINE_IMAGE_OK) return status;
        means = &other;
    }
    status = thirstline_image_squares_of(image, search.number, &squares);
    if (status == THIRSTLINE_IMAGE_OK)
        status = thirstline_image_gradients_of(&search, &corners, &squares, first, gradients);
    if (status != THIRSTLINE_IMAGE_OK) return status;
    for (at = 0; at < 2; ++at)
        thirstline_image_adjust_layer(image, (first == 0 ? 1u : 5u) + at,
                                      squares.divisor[first + at], gradients[at], (int32_t)rise_cm,
                                      means, answer);
    return THIRSTLINE_IMAGE_OK;
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
