/* reader.wasm: the embedded image's reader (lookup/embedded/image.h) for a page. It imports nothing
 * and needs no library; numbers are passed as 32-bit words at fixed addresses.
 *
 *     const reader = (await WebAssembly.instantiate(bytes, {})).instance.exports;
 *     const at = reader.image_room(image.length);           0 if there is no memory
 *     new Uint8Array(reader.memory.buffer, at, image.length).set(image);
 *     reader.image_open(at, image.length)                   a thirstline_image_status
 *     reader.look_up(lat_e7, lon_e7, part)                  also a status
 *     new Int32Array(reader.memory.buffer, reader.answer(), ANSWER_WORDS)
 *
 * There is memory for one image: image_room discards the previous one. The answer is valid only
 * after OK, and until the next call. An instance belongs to one thread. */

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image.h"

enum { ANSWER_HEAD_WORDS = 5, ANSWER_LAYER_WORDS = 2 + 12 };

/* Output of look_up: is_interpolated, distance_m, lat_e7 and lon_e7 of the answer's location,
 * number of layers; then for each layer its id, its divisor and twelve values: integers in 1 /
 * (divisor * 100) of the layer's unit, or THIRSTLINE_IMAGE_MISSING. */
static int32_t answer_words[ANSWER_HEAD_WORDS + THIRSTLINE_IMAGE_PART_LAYERS * ANSWER_LAYER_WORDS];
static thirstline_image image;

extern uint8_t __heap_base; /* set by the linker: memory is free from here on */

#define EXPORTED(name) __attribute__((export_name(#name))) name

/* The compiler emits calls of these two for struct assignments, and there is no C library. */
void* memcpy(void* restrict into, const void* restrict from, size_t count) {
    uint8_t* to = into;
    const uint8_t* bytes = from;
    while (count-- != 0) *to++ = *bytes++;
    return into;
}

void* memset(void* into, int value, size_t count) {
    uint8_t* to = into;
    while (count-- != 0) *to++ = (uint8_t)value;
    return into;
}

uint8_t* EXPORTED(image_room)(uint32_t bytes) {
    const uint32_t page = 65536;
    const uint32_t begin = (uint32_t)(uintptr_t)&__heap_base;
    const uint32_t has = (uint32_t)__builtin_wasm_memory_size(0);
    const uint32_t needs = begin / page + bytes / page + 2;
    if (needs > has && __builtin_wasm_memory_grow(0, needs - has) == SIZE_MAX) return NULL;
    return &__heap_base;
}

uint32_t EXPORTED(image_open)(const uint8_t* bytes, uint32_t size) {
    thirstline_image_source source = {0};
    source.memory = bytes;
    source.size = size;
    return thirstline_image_open(&image, &source);
}

uint32_t EXPORTED(look_up)(int32_t lat_e7, int32_t lon_e7, uint32_t part) {
    const thirstline_position_e7 position = {lat_e7, lon_e7};
    thirstline_image_answer found;
    const uint32_t status = thirstline_image_look_up(&image, position, part, &found);
    int32_t* word = answer_words;
    if (status != THIRSTLINE_IMAGE_OK) return status;
    *word++ = found.is_interpolated;
    *word++ = found.distance_m;
    *word++ = found.at.lat_e7;
    *word++ = found.at.lon_e7;
    *word++ = found.layer_count;
    for (uint32_t at = 0; at < found.layer_count; ++at) {
        const thirstline_image_layer* layer = &image.layers[found.layers[at]];
        *word++ = layer->id;
        *word++ = layer->divisor;
        for (uint32_t month = 0; month < 12; ++month)
            *word++ = thirstline_image_value(&found, at, month);
    }
    return status;
}

const int32_t* EXPORTED(answer)(void) {
    return answer_words;
}

/* Maximum distance of a nearest point, in metres; of several lattices the largest. */
uint32_t EXPORTED(reach_m)(void) {
    uint32_t reach = 0;
    for (uint32_t at = 0; at < image.lattice_count; ++at)
        if (image.lattices[at].reach_m > reach) reach = image.lattices[at].reach_m;
    return reach;
}

/* NOLINTEND(readability-identifier-naming, modernize-*) */
