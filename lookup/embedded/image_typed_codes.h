/* The embedded image, the reading side: postal codes as people type them. See image.h. */
#ifndef THIRSTLINE_IMAGE_TYPED_CODES_H
#define THIRSTLINE_IMAGE_TYPED_CODES_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image_texts.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What a shape's letter stands for: 'A' a letter, '9' a digit, anything else itself. */
static inline int thirstline_image_fits(char c, char shape) {
    if (shape == 'A') return c >= 'A' && c <= 'Z';
    return shape == '9' ? c >= '0' && c <= '9' : c == shape;
}

static inline int thirstline_image_has_shape(const char* code, const char* shape) {
    while (*code != 0 && thirstline_image_fits(*code, *shape)) ++code, ++shape;
    return *code == 0 && *shape == 0;
}

/* Copies a typed code in capitals, without blanks before and after. Blanks within become one, or
 * with `joins` none, as hyphens do then. False if it is empty, too long for an image, or has other
 * characters. */
static inline int thirstline_image_tidied(const char* typed, int joins,
                                          char code[THIRSTLINE_IMAGE_LONGEST_CODE + 1]) {
    uint32_t bytes = 0;
    int blank_waits = 0;
    for (; *typed != 0; ++typed) {
        char c = *typed;
        if (c == ' ' || c == '\t' || (joins && c == '-')) {
            blank_waits = bytes != 0 && !joins;
            continue;
        }
        if (c >= 'a' && c <= 'z') c = (char)(c - 'a' + 'A');
        if (c != '-' && !thirstline_image_fits(c, '9') && !thirstline_image_fits(c, 'A')) return 0;
        if (bytes + (blank_waits ? 2u : 1u) > THIRSTLINE_IMAGE_LONGEST_CODE) return 0;
        if (blank_waits) code[bytes++] = ' ';
        blank_waits = 0;
        code[bytes++] = c;
    }
    code[bytes] = 0;
    return bytes != 0;
}

/* The form in which images store a country's code that was typed in any usual form: "97401-1234" of
 * US is 97401, "k1a 0b1" of CA is K1A. `country` is two capitals. False if it is not a code of that
 * country. */
static inline int thirstline_image_stored_code(const char* typed, const char* country,
                                               char code[THIRSTLINE_IMAGE_LONGEST_CODE + 1]) {
    const int is_us = country[0] == 'U' && country[1] == 'S';
    const int is_canadian = country[0] == 'C' && country[1] == 'A';
    const int is_mexican = country[0] == 'M' && country[1] == 'X';
    if (!thirstline_image_tidied(typed, is_canadian, code)) return 0;
    if (is_us) {
        const int is_valid = thirstline_image_has_shape(code, "99999") ||
                             thirstline_image_has_shape(code, "99999-9999") ||
                             thirstline_image_has_shape(code, "99999 9999") ||
                             thirstline_image_has_shape(code, "999999999");
        code[is_valid ? 5 : 0] = 0;
        return is_valid;
    }
    if (is_canadian) {
        const int is_valid =
            thirstline_image_has_shape(code, "A9A9A9") || thirstline_image_has_shape(code, "A9A");
        code[is_valid ? 3 : 0] = 0;
        return is_valid;
    }
    return !is_mexican || thirstline_image_has_shape(code, "99999");
}

/* thirstline_image_find_code for a code as people type it. Without a country (a null pointer),
 * every country is considered whose codes have this form. NO_SUCH_CODE also for a text that is no
 * code. */
static inline thirstline_image_status thirstline_image_find_typed_code(
    const thirstline_image* image, const char* typed, const char* country,
    thirstline_image_postal_place* place) {
    static const char with_own_forms[3][3] = {"US", "CA", "MX"};
    char as_written[THIRSTLINE_IMAGE_LONGEST_CODE + 1], code[THIRSTLINE_IMAGE_LONGEST_CODE + 1];
    thirstline_image_status result;
    uint32_t number;
    place->position.lat_e7 = place->position.lon_e7 = 0;
    place->country[0] = place->country[1] = 0;
    if (country != NULL) {
        if (!thirstline_image_stored_code(typed, country, code))
            return THIRSTLINE_IMAGE_NO_SUCH_CODE;
        return thirstline_image_find_code(image, code, country, place);
    }
    if (!thirstline_image_tidied(typed, 0, as_written)) return THIRSTLINE_IMAGE_NO_SUCH_CODE;
    result = thirstline_image_find_code(image, as_written, NULL, place);
    for (number = 0; number < 3 && result <= THIRSTLINE_IMAGE_SEVERAL; ++number) {
        thirstline_image_postal_place other;
        thirstline_image_status status;
        uint32_t at;
        if (!thirstline_image_stored_code(typed, with_own_forms[number], code)) continue;
        for (at = 0; code[at] != 0 && code[at] == as_written[at];) ++at;
        if (code[at] == as_written[at]) continue; /* found above already */
        status = thirstline_image_find_code(image, code, with_own_forms[number], &other);
        if (status == THIRSTLINE_IMAGE_NO_SUCH_CODE) continue;
        if (status != THIRSTLINE_IMAGE_OK) return status;
        if (result == THIRSTLINE_IMAGE_NO_SUCH_CODE) {
            *place = other;
            result = THIRSTLINE_IMAGE_OK;
        } else {
            result = THIRSTLINE_IMAGE_SEVERAL;
        }
    }
    return result;
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
