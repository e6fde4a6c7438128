#include "tests/support/image_in_c.h"

#include <stdlib.h>

#include "lookup/embedded/image.h"

#ifdef THIRSTLINE_SMALL
#define NAME(name) small_##name
#elif THIRSTLINE_ROW < 8
#define NAME(name) narrow_##name
#else
#define NAME(name) name
#endif

static int bring(void* context, uint32_t offset, uint8_t* into, uint32_t count) {
    image_in_c* image = (image_in_c*)context;
    uint32_t at;
    if (image->failing_read >= 0 && image->reads == (uint32_t)image->failing_read) {
        ++image->reads;
        return 0;
    }
    ++image->reads;
    image->bytes_read += count;
    if (offset > image->size || count > image->size - offset) {
        image->strayed = 1;
        return 0;
    }
    for (at = 0; at < count; ++at) into[at] = image->bytes[offset + at];
    return 1;
}

/* The buffer is on the heap, with exactly the promised size, so that a sanitiser detects any access
 * beyond it. */
typedef struct {
    thirstline_image image;
    uint8_t* buffer;
} opened_image;

enum { ALL_PARTS = 255 };

static thirstline_image_status open_image(image_in_c* image, uint32_t part, opened_image* opened) {
    thirstline_image_source source = {NULL, 0, NULL, NULL, NULL, 0};
    thirstline_image_status status;
    const int all_parts = part == ALL_PARTS;
    uint32_t needed;
    image->reads = image->bytes_read = 0;
    opened->buffer = NULL;
    source.size = image->size;
    if (!image->by_callback) {
        source.memory = image->bytes;
        return thirstline_image_open(&opened->image, &source);
    }
    source.read = bring;
    source.context = image;
    source.buffer_bytes =
        image->buffer_bytes != 0 ? image->buffer_bytes : (uint32_t)THIRSTLINE_IMAGE_BLOCK_BYTES;
    source.buffer = opened->buffer = (uint8_t*)malloc(source.buffer_bytes);
    status = thirstline_image_open(&opened->image, &source);
    if (status == THIRSTLINE_IMAGE_OK && image->buffer_bytes == 0) {
        needed = thirstline_image_buffer_bytes(&opened->image, part);
        for (part = 0; all_parts && part < THIRSTLINE_IMAGE_PARTS; ++part) {
            const uint32_t of_part = thirstline_image_buffer_bytes(&opened->image, part);
            if (of_part > needed) needed = of_part;
        }
        free(opened->buffer);
        opened->image.source.buffer = opened->buffer = (uint8_t*)malloc(needed);
        opened->image.source.buffer_bytes = needed;
    }
    image->reads = image->bytes_read = 0;
    return status;
}

int NAME(image_in_c_open)(image_in_c* image) {
    opened_image opened;
    const thirstline_image_status status = open_image(image, 0, &opened);
    free(opened.buffer);
    return (int)status;
}

int NAME(image_in_c_look_up)(image_in_c* image, int32_t lat_e7, int32_t lon_e7, uint32_t part,
                             const int32_t* elevation_m, told_in_c* told) {
    opened_image opened;
    thirstline_image_answer answer;
    thirstline_position_e7 position;
    thirstline_image_status status =
        open_image(image, elevation_m == NULL ? part : (uint32_t)ALL_PARTS, &opened);
    uint32_t layer, month;
    position.lat_e7 = lat_e7;
    position.lon_e7 = lon_e7;
    if (status == THIRSTLINE_IMAGE_OK)
        status = elevation_m == NULL
                     ? thirstline_image_look_up(&opened.image, position, part, &answer)
                     : thirstline_image_look_up_at_elevation(&opened.image, position, *elevation_m,
                                                             part, &answer);
    if (status == THIRSTLINE_IMAGE_OK) {
        told->lat_e7 = answer.at.lat_e7;
        told->lon_e7 = answer.at.lon_e7;
        told->distance_m = answer.distance_m;
        told->is_interpolated = answer.is_interpolated;
        told->layers = answer.layer_count;
        for (layer = 0; layer < answer.layer_count; ++layer) {
            told->ids[layer] = opened.image.layers[answer.layers[layer]].id;
            for (month = 0; month < 12; ++month)
                told->values[layer][month] = thirstline_image_value(&answer, layer, month);
        }
    }
    free(opened.buffer);
    return (int)status;
}

int NAME(image_in_c_find_code)(image_in_c* image, const char* code, const char* country,
                               place_in_c* place) {
    opened_image opened;
    thirstline_image_postal_place found = {{0, 0}, {0, 0}};
    thirstline_image_status status = open_image(image, 0, &opened);
    if (status == THIRSTLINE_IMAGE_OK)
        status = thirstline_image_find_code(&opened.image, code, country, &found);
    if (status == THIRSTLINE_IMAGE_OK || status == THIRSTLINE_IMAGE_SEVERAL) {
        place->lat_e7 = found.position.lat_e7;
        place->lon_e7 = found.position.lon_e7;
        place->country[0] = found.country[0];
        place->country[1] = found.country[1];
        place->country[2] = 0;
    }
    free(opened.buffer);
    return (int)status;
}

int NAME(image_in_c_find_typed_code)(image_in_c* image, const char* typed, const char* country,
                                     place_in_c* place) {
    opened_image opened;
    thirstline_image_postal_place found = {{0, 0}, {0, 0}};
    thirstline_image_status status = open_image(image, 0, &opened);
    if (status == THIRSTLINE_IMAGE_OK)
        status = thirstline_image_find_typed_code(&opened.image, typed, country, &found);
    place->lat_e7 = found.position.lat_e7;
    place->lon_e7 = found.position.lon_e7;
    place->country[0] = found.country[0];
    place->country[1] = found.country[1];
    place->country[2] = 0;
    free(opened.buffer);
    return (int)status;
}

int NAME(image_in_c_verify)(image_in_c* image) {
    opened_image opened;
    thirstline_image_status status = open_image(image, ALL_PARTS, &opened);
    if (status == THIRSTLINE_IMAGE_OK) status = thirstline_image_verify(&opened.image);
    free(opened.buffer);
    return (int)status;
}

int NAME(image_in_c_text)(image_in_c* image, uint32_t offset, char* text, uint32_t room,
                          uint32_t* copied, uint32_t* notice_bytes) {
    opened_image opened;
    thirstline_image_status status = open_image(image, 0, &opened);
    *copied = 0;
    if (status == THIRSTLINE_IMAGE_OK) {
        *notice_bytes = opened.image.notice_bytes;
        status = thirstline_image_text(&opened.image, offset, text, room, copied);
    }
    free(opened.buffer);
    return (int)status;
}
