/* The year at a postal code from an embedded image, without any library. Firmware would read the
 * bytes with source.read instead.
 *
 *   image_site merrow.img 04107 */
#include <stdio.h>
#include <stdlib.h>
#include <thirstline/image.h>

/* The whole file; a null pointer if it cannot be read. */
static uint8_t* bytes_of(const char* path, uint32_t* size) {
    FILE* file = fopen(path, "rb");
    uint8_t* bytes = NULL;
    long length;
    if (file == NULL) return NULL;
    if (fseek(file, 0, SEEK_END) == 0 && (length = ftell(file)) > 0 &&
        fseek(file, 0, SEEK_SET) == 0 && (bytes = malloc((size_t)length)) != NULL) {
        *size = (uint32_t)fread(bytes, 1, (size_t)length, file);
    }
    fclose(file);
    return bytes;
}

/* A value with all its digits: in 1/(divisor * 100). */
static void print_value(const thirstline_image* image, const thirstline_image_answer* answer,
                        uint32_t layer, uint32_t month) {
    const int32_t value = thirstline_image_value(answer, layer, month);
    if (value == THIRSTLINE_IMAGE_MISSING)
        printf(",");
    else
        printf(",%.4f", value / (100.0 * image->layers[answer->layers[layer]].divisor));
}

int main(int argc, char** argv) {
    thirstline_image_source source = {NULL, 0, NULL, NULL, NULL, 0};
    thirstline_image image;
    thirstline_image_postal_place place;
    thirstline_image_answer answer;
    thirstline_image_status status;
    char notice[256];
    uint32_t at, month, taken;
    uint8_t* bytes;
    if (argc != 3) {
        fprintf(stderr, "usage: image_site IMAGE POSTAL-CODE\n");
        return 2;
    }
    bytes = bytes_of(argv[1], &source.size);
    source.memory = bytes;
    status = bytes == NULL ? THIRSTLINE_IMAGE_UNREADABLE : thirstline_image_open(&image, &source);
    if (status == THIRSTLINE_IMAGE_OK)
        status = thirstline_image_find_typed_code(&image, argv[2], NULL, &place);
    if (status == THIRSTLINE_IMAGE_OK)
        status = thirstline_image_look_up(&image, place.position, THIRSTLINE_IMAGE_MEANS, &answer);
    if (status == THIRSTLINE_IMAGE_OK) {
        printf("month,eto_mm_per_day,rain_mm\n");
        for (month = 0; month < 12; ++month) {
            printf("%u", (unsigned)month + 1);
            print_value(&image, &answer, 0, month);
            print_value(&image, &answer, 1, month);
            printf("\n");
        }
        /* Must be shown with every answer. */
        for (at = 0; at < image.notice_bytes; at += taken) {
            uint32_t count = image.notice_bytes - at;
            if (count > sizeof notice) count = sizeof notice;
            status = thirstline_image_text(&image, at, notice, count, &taken);
            if (status != THIRSTLINE_IMAGE_OK || taken == 0) break;
            printf("%.*s", (int)taken, notice);
        }
        printf("\n");
    } else {
        fprintf(stderr, "no answer: status %d\n", (int)status);
    }
    free(bytes);
    return (int)status;
}
