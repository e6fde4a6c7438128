/* Calls each function of the reader that an app uses, once, to measure code size. */
#include "lookup/embedded/image.h"

thirstline_image_status open_image(thirstline_image* image, const thirstline_image_source* source);
thirstline_image_status look_up(const thirstline_image* image, thirstline_position_e7 position,
                                uint32_t part, thirstline_image_answer* answer);
thirstline_image_status find_code(const thirstline_image* image, const char* code,
                                  const char* country, thirstline_image_postal_place* place);
thirstline_image_status read_text(const thirstline_image* image, uint32_t offset, char* text,
                                  uint32_t count, uint32_t* copied);

thirstline_image_status open_image(thirstline_image* image, const thirstline_image_source* source) {
    return thirstline_image_open(image, source);
}

thirstline_image_status look_up(const thirstline_image* image, thirstline_position_e7 position,
                                uint32_t part, thirstline_image_answer* answer) {
    return thirstline_image_look_up(image, position, part, answer);
}

#ifdef WITH_ELEVATIONS
thirstline_image_status look_up_at_elevation(const thirstline_image* image,
                                             thirstline_position_e7 position, int32_t elevation_m,
                                             uint32_t part, thirstline_image_answer* answer);
thirstline_image_status look_up_at_elevation(const thirstline_image* image,
                                             thirstline_position_e7 position, int32_t elevation_m,
                                             uint32_t part, thirstline_image_answer* answer) {
    return thirstline_image_look_up_at_elevation(image, position, elevation_m, part, answer);
}
#endif

#ifdef WITH_CODES
thirstline_image_status find_code(const thirstline_image* image, const char* code,
                                  const char* country, thirstline_image_postal_place* place) {
    return thirstline_image_find_code(image, code, country, place);
}
#endif

#ifdef WITH_TEXTS
thirstline_image_status read_text(const thirstline_image* image, uint32_t offset, char* text,
                                  uint32_t count, uint32_t* copied) {
    return thirstline_image_text(image, offset, text, count, copied);
}
#endif
