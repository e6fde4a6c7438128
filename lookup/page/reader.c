/* reader.wasm: the embedded image's reader (lookup/embedded/image.h) for JavaScript. It needs no
 * library, and imports one function; numbers are passed as 32-bit words at fixed addresses.
 *
 *     const imports = { image: { read: (offset, into, count) => 0 } };
 *     const reader = (await WebAssembly.instantiate(bytes, imports)).instance.exports;
 *     const at = reader.image_room(image.length);           0 if there is no memory
 *     new Uint8Array(reader.memory.buffer, at, image.length).set(image);
 *     reader.image_open(at, image.length)                   a thirstline_image_status
 *     reader.look_up(lat_e7, lon_e7, part)                  also a status
 *     reader.look_up_at_elevation(lat_e7, lon_e7, part, elevation_m), if has_gradients(): only
 *                                                           when compiled with WITH_ELEVATIONS
 *     new Int32Array(reader.memory.buffer, reader.answer(), ANSWER_WORDS)
 *
 * Instead of image_room and image_open, image_open_by_reading(size) opens an image of which `read`
 * copies `count` bytes from `offset` to the address `into`; it returns 0 if it does not have them,
 * and the call that needs them then returns UNREADABLE, and may be repeated.
 *
 * There is memory for one image: image_room discards the previous one. The answer is valid only
 * after OK, and until the next call. An instance belongs to one thread. */

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "lookup/embedded/image.h"

enum { ANSWER_HEAD_WORDS = 5, ANSWER_LAYER_WORDS = 2 + 12 };

/* Output of both look-ups: is_interpolated, distance_m, lat_e7 and lon_e7 of the answer's location,
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

__attribute__((import_module("image"), import_name("read"))) int32_t image_read(uint32_t offset,
                                                                                uint8_t* into,
                                                                                uint32_t count);

static int read_by_host(void* context, uint32_t offset, uint8_t* into, uint32_t count) {
    (void)context;
    return image_read(offset, into, count);
}

uint32_t EXPORTED(image_open_by_reading)(uint32_t size) {
    thirstline_image_source source = {0};
    uint32_t status;
    source.size = size;
    source.read = read_by_host;
    source.buffer_bytes = 4096; /* more than the header needs */
    source.buffer = image_room(source.buffer_bytes);
    if (source.buffer == NULL) return THIRSTLINE_IMAGE_UNREADABLE;
    status = thirstline_image_open(&image, &source);
    if (status != THIRSTLINE_IMAGE_OK) return status;
    for (uint32_t part = 0; part < THIRSTLINE_IMAGE_PARTS; ++part) {
        const uint32_t needed = thirstline_image_buffer_bytes(&image, part);
        if (needed > image.source.buffer_bytes) image.source.buffer_bytes = needed;
    }
    image.source.buffer = image_room(image.source.buffer_bytes);
    return image.source.buffer == NULL ? THIRSTLINE_IMAGE_UNREADABLE : THIRSTLINE_IMAGE_OK;
}

static void put_answer(const thirstline_image_answer* found) {
    int32_t* word = answer_words;
    *word++ = found->is_interpolated;
    *word++ = found->distance_m;
    *word++ = found->at.lat_e7;
    *word++ = found->at.lon_e7;
    *word++ = found->layer_count;
    for (uint32_t at = 0; at < found->layer_count; ++at) {
        const thirstline_image_layer* layer = &image.layers[found->layers[at]];
        *word++ = layer->id;
        *word++ = layer->divisor;
        for (uint32_t month = 0; month < 12; ++month)
            *word++ = thirstline_image_value(found, at, month);
    }
}

uint32_t EXPORTED(look_up)(int32_t lat_e7, int32_t lon_e7, uint32_t part) {
    const thirstline_position_e7 position = {lat_e7, lon_e7};
    thirstline_image_answer found;
    const uint32_t status = thirstline_image_look_up(&image, position, part, &found);
    if (status == THIRSTLINE_IMAGE_OK) put_answer(&found);
    return status;
}

#ifdef WITH_ELEVATIONS
/* Whether the image has changes with elevation. */
uint32_t EXPORTED(has_gradients)(void) {
    return (uint32_t)thirstline_image_has_gradients(&image);
}

uint32_t EXPORTED(look_up_at_elevation)(int32_t lat_e7, int32_t lon_e7, uint32_t part,
                                        int32_t elevation_m) {
    const thirstline_position_e7 position = {lat_e7, lon_e7};
    thirstline_image_answer found;
    const uint32_t status =
        thirstline_image_look_up_at_elevation(&image, position, elevation_m, part, &found);
    if (status == THIRSTLINE_IMAGE_OK) put_answer(&found);
    return status;
}
#endif

const int32_t* EXPORTED(answer)(void) {
    return answer_words;
}

/* A text of at most this many bytes in and out: a postal code, a country, a piece of the texts. */
enum { TEXT_ROOM_BYTES = 512 };
static char text_room[TEXT_ROOM_BYTES];

char* EXPORTED(text)(void) {
    return text_room;
}

/* The code of `code_bytes` bytes in the text room, in the form stored in images, with the country's
 * two letters behind it if `has_country`. After OK or SEVERAL the answer is lat_e7, lon_e7 and the
 * country's letters as numbers. */
uint32_t EXPORTED(find_code)(uint32_t code_bytes, uint32_t has_country) {
    thirstline_image_postal_place place;
    char code[THIRSTLINE_IMAGE_LONGEST_CODE + 1];
    uint32_t status;
    if (code_bytes > THIRSTLINE_IMAGE_LONGEST_CODE) return THIRSTLINE_IMAGE_NO_SUCH_CODE;
    for (uint32_t at = 0; at < code_bytes; ++at) code[at] = text_room[at];
    code[code_bytes] = 0;
    status = thirstline_image_find_code(&image, code, has_country ? text_room + code_bytes : NULL,
                                        &place);
    answer_words[0] = place.position.lat_e7;
    answer_words[1] = place.position.lon_e7;
    answer_words[2] = place.country[0];
    answer_words[3] = place.country[1];
    return status;
}

/* Copies a piece of the image's texts from `offset` on into the text room; the answer is the number
 * of its bytes, 0 at the end, and the length of the notice, with which the texts begin. */
uint32_t EXPORTED(text_from)(uint32_t offset) {
    uint32_t copied = 0;
    const uint32_t status =
        thirstline_image_text(&image, offset, text_room, TEXT_ROOM_BYTES, &copied);
    answer_words[0] = (int32_t)copied;
    answer_words[1] = (int32_t)image.notice_bytes;
    return status;
}

/* Maximum distance of a nearest point, in metres; of several lattices the largest. */
uint32_t EXPORTED(reach_m)(void) {
    uint32_t reach = 0;
    for (uint32_t at = 0; at < image.lattice_count; ++at)
        if (image.lattices[at].reach_m > reach) reach = image.lattices[at].reach_m;
    return reach;
}

/* NOLINTEND(readability-identifier-naming, modernize-*) */
