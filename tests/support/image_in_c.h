/* The image's reader in plain C, as firmware would use it; for the tests. Built three times:
 * normally, small (names with `small_`), and with rows as short as those of images (`narrow_`). */
#ifndef THIRSTLINE_TESTS_IMAGE_IN_C_H
#define THIRSTLINE_TESTS_IMAGE_IN_C_H

#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* An image in memory, read directly, or through a callback into a buffer of `buffer_bytes`; 0: as
 * large as the part needs. */
typedef struct {
    const uint8_t* bytes;
    uint32_t size;
    int by_callback;
    uint32_t buffer_bytes;
    int failing_read;           /* the index of the read that fails, from 0; none if negative */
    uint32_t reads, bytes_read; /* requests to the callback since opening */
    int strayed;                /* the callback was asked for bytes outside the image */
} image_in_c;

typedef struct {
    int32_t lat_e7, lon_e7, distance_m;
    int is_interpolated;
    uint32_t layers;
    uint8_t ids[2];
    int32_t values[2][12];
} told_in_c;

typedef struct {
    int32_t lat_e7, lon_e7;
    char country[3];
} place_in_c;

/* Each opens the image, calls one function, and returns the status (0 is OK). _text reads up to
 * `room` bytes of the text from `offset` on; the first `*notice_bytes` of the text are the
 * notice. `elevation_m` may be NULL. */
#define THIRSTLINE_IMAGE_READER(build)                                                         \
    int build##image_in_c_open(image_in_c* image);                                             \
    int build##image_in_c_look_up(image_in_c* image, int32_t lat_e7, int32_t lon_e7,           \
                                  uint32_t part, const int32_t* elevation_m, told_in_c* told); \
    int build##image_in_c_find_code(image_in_c* image, const char* code, const char* country,  \
                                    place_in_c* place);                                        \
    int build##image_in_c_find_typed_code(image_in_c* image, const char* typed,                \
                                          const char* country, place_in_c* place);             \
    int build##image_in_c_verify(image_in_c* image);                                           \
    int build##image_in_c_text(image_in_c* image, uint32_t offset, char* text, uint32_t room,  \
                               uint32_t* copied, uint32_t* notice_bytes);

THIRSTLINE_IMAGE_READER()
THIRSTLINE_IMAGE_READER(small_)
THIRSTLINE_IMAGE_READER(narrow_)

#ifdef __cplusplus
}
#endif

#endif
