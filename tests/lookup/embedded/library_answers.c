/* Answers the questions of firmware/answers.c from a database, through the library: the same
 * records, without the fields that only firmware fills. A position that is not valid and a file
 * that cannot be read end it with the library's words. library_answers DATABASE QUESTIONS
 * ANSWERS */
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "thirstline/thirstline.h"

enum { QUESTION_BYTES = 24, ANSWER_WORDS = 35 };

static int32_t number_at(const uint8_t* bytes) {
    const uint32_t bits = (uint32_t)bytes[0] | (uint32_t)bytes[1] << 8 | (uint32_t)bytes[2] << 16 |
                          (uint32_t)bytes[3] << 24;
    int32_t number;
    memcpy(&number, &bits, sizeof number);
    return number;
}

static void put(uint8_t* record, int word, int32_t number) {
    int at;
    for (at = 0; at < 4; ++at) record[4 * word + at] = (uint8_t)((uint32_t)number >> 8 * at);
}

/* The two layers of a part of an image: means, their standard errors, temperatures. */
static const int32_t* layer_of(const thirstline_site* site, int32_t part, int second) {
    if (part == 1) return second ? site->rain_se_fixed : site->eto_se_fixed;
    if (part == 2) return second ? site->tmin_fixed : site->tmax_fixed;
    return second ? site->rain_fixed : site->eto_fixed;
}

/* As the image's reader says it. */
static int32_t status_in_images(thirstline_status status, const thirstline_site* site) {
    if (status == THIRSTLINE_AMBIGUOUS) return 3;
    if (status == THIRSTLINE_NO_DATA) return site->lat_e7 == THIRSTLINE_UNKNOWN ? 2 : 1;
    return (int32_t)status;
}

int main(int count, char** words) {
    thirstline_error error = {.struct_size = sizeof error};
    thirstline_file* file = NULL;
    uint8_t question[QUESTION_BYTES];
    FILE *questions, *answers;
    if (count != 4) return 2;
    if (thirstline_open(words[1], &file, &error) != THIRSTLINE_OK) {
        fprintf(stderr, "%s\n", error.message);
        return 1;
    }
    questions = fopen(words[2], "rb");
    answers = fopen(words[3], "wb");
    if (questions == NULL || answers == NULL) return 5;
    while (fread(question, 1, sizeof question, questions) == sizeof question) {
        thirstline_site site = {.struct_size = sizeof site};
        uint8_t record[4 * ANSWER_WORDS] = {0};
        const int32_t part = number_at(question + 8);
        const thirstline_lat_lon at = {number_at(question) / 1e7, number_at(question + 4) / 1e7};
        const thirstline_status status =
            question[12] != 0 ? thirstline_site_of_postal_code(file, (const char*)question + 12,
                                                               NULL, NULL, &site, &error)
                              : thirstline_site_at(file, at, NULL, &site, &error);
        if (status == THIRSTLINE_BAD_FILE || status == THIRSTLINE_IO ||
            (status == THIRSTLINE_USAGE && question[12] == 0)) {
            fprintf(stderr, "%s\n", error.message);
            return 1;
        }
        put(record, 0, status_in_images(status, &site));
        if (status == THIRSTLINE_OK) {
            int month;
            put(record, 1, site.interpolated);
            put(record, 2, site.distance_m);
            put(record, 3, site.point_lat_e7);
            put(record, 4, site.point_lon_e7);
            for (month = 0; month < 12; ++month) {
                put(record, 11 + month, layer_of(&site, part, 0)[month]);
                put(record, 23 + month, layer_of(&site, part, 1)[month]);
            }
        }
        fwrite(record, 1, sizeof record, answers);
    }
    thirstline_close(file);
    return fclose(answers) == 0 ? 0 : 5;
}
