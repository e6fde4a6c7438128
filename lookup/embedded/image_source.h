/* The embedded image, the reading side: its bytes, in memory or read by a callback, and their
 * checksums. First part of image.h; see there. */
#ifndef THIRSTLINE_IMAGE_SOURCE_H
#define THIRSTLINE_IMAGE_SOURCE_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include <stddef.h>
#include <stdint.h>

#include "schema/tile_code/tile_code.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Result of a call. Everything from THIRSTLINE_IMAGE_DAMAGED on is a failure. */
typedef enum {
    THIRSTLINE_IMAGE_OK = 0,
    THIRSTLINE_IMAGE_NO_DATA = 1,      /* no point within reach of the position: a valid answer */
    THIRSTLINE_IMAGE_NO_SUCH_CODE = 2, /* the image does not have this postal code */
    THIRSTLINE_IMAGE_SEVERAL = 3,      /* several countries have this code: name one */
    THIRSTLINE_IMAGE_DAMAGED = 4,      /* not an image, or damaged */
    THIRSTLINE_IMAGE_UNSUPPORTED = 5,  /* of another version, or larger than this build allows */
    THIRSTLINE_IMAGE_UNREADABLE = 6,   /* the callback could not read the bytes */
    THIRSTLINE_IMAGE_BAD_ARGUMENT = 7  /* a position off the Earth, no such part ... */
} thirstline_image_status;

/* Where the image is. Either `memory` points to all of it, and the rest except `size` is 0; or
 * `read` reads `count` bytes from `offset` into `into` and returns 0 if it cannot. */
typedef struct {
    const uint8_t* memory;
    uint32_t size; /* of the whole image in bytes */
    int (*read)(void* context, uint32_t offset, uint8_t* into, uint32_t count);
    void* context;
    uint8_t* buffer; /* for `read`: see thirstline_image_buffer_bytes */
    uint32_t buffer_bytes;
} thirstline_image_source;

enum {
    THIRSTLINE_IMAGE_BLOCK_BYTES = 256, /* of postal codes and texts: the smallest buffer */
    THIRSTLINE_IMAGE_CRC_BYTES = 4
};

THIRSTLINE_OUTLINE uint32_t thirstline_u16(const uint8_t* bytes) {
    return (uint32_t)bytes[0] | (uint32_t)bytes[1] << 8;
}
THIRSTLINE_OUTLINE uint32_t thirstline_u32(const uint8_t* bytes) {
    return thirstline_u16(bytes) | thirstline_u16(bytes + 2) << 16;
}

/* The signed number of 32 bits in two's complement. */
static inline int32_t thirstline_s32(uint32_t bits) {
    return bits <= 0x7FFFFFFFu ? (int32_t)bits : -(int32_t)(0xFFFFFFFFu - bits) - 1;
}

/* CRC-32 of ISO 3309, four bits at a time: `crc` is that of the bytes before, initially 0. */
THIRSTLINE_OUTLINE uint32_t thirstline_crc32(uint32_t crc, const uint8_t* bytes, uint32_t count) {
    static const uint32_t of_four_bits[16] = {0x00000000u, 0x1DB71064u, 0x3B6E20C8u, 0x26D930ACu,
                                              0x76DC4190u, 0x6B6B51F4u, 0x4DB26158u, 0x5005713Cu,
                                              0xEDB88320u, 0xF00F9344u, 0xD6D6A3E8u, 0xCB61B38Cu,
                                              0x9B64C2B0u, 0x86D3D2D4u, 0xA00AE278u, 0xBDBDF21Cu};
    crc = ~crc;
    for (; count != 0; --count) {
        crc ^= *bytes++;
        crc = crc >> 4 ^ of_four_bits[crc & 15u];
        crc = crc >> 4 ^ of_four_bits[crc & 15u];
    }
    return ~crc;
}

/* The same of a number's four bytes, the lowest first. */
static inline uint32_t thirstline_crc32_of_number(uint32_t crc, uint32_t number) {
    uint8_t bytes[4];
    uint32_t at;
    for (at = 0; at < 4; ++at) bytes[at] = (uint8_t)(number >> 8 * at);
    return thirstline_crc32(crc, bytes, 4);
}

/* `count` bytes from `offset`, valid until the next are requested; followed by `ahead` readable
 * bytes. A null pointer if they are outside the image (`*status` is DAMAGED), cannot be read
 * (UNREADABLE) or do not fit the buffer (UNSUPPORTED). */
static inline const uint8_t* thirstline_image_bytes(const thirstline_image_source* source,
                                                    uint32_t offset, uint32_t count, uint32_t ahead,
                                                    thirstline_image_status* status) {
    uint32_t at;
    *status = THIRSTLINE_IMAGE_DAMAGED;
    if (offset > source->size || count > source->size - offset) return NULL;
    if (source->memory != NULL)
        return ahead > source->size - offset - count ? NULL : source->memory + offset;
    *status = THIRSTLINE_IMAGE_UNSUPPORTED;
    if (count > source->buffer_bytes || ahead > source->buffer_bytes - count) return NULL;
    *status = THIRSTLINE_IMAGE_UNREADABLE;
    if (!source->read(source->context, offset, source->buffer, count)) return NULL;
    for (at = 0; at < ahead; ++at) source->buffer[count + at] = 0;
    return source->buffer;
}

/* Fuzzers accept every checksum, or they would never get past one. */
static inline int thirstline_checksums_agree(uint32_t one, uint32_t other) {
#ifdef FUZZING_BUILD_MODE_UNSAFE_FOR_PRODUCTION
    (void)one;
    (void)other;
    return 1;
#else
    return one == other;
#endif
}

/* The same, for `count` bytes whose last four are the checksum of `crc` and the others. */
static inline const uint8_t* thirstline_image_checked_bytes(const thirstline_image_source* source,
                                                            uint32_t offset, uint32_t count,
                                                            uint32_t ahead, uint32_t crc,
                                                            thirstline_image_status* status) {
    const uint8_t* bytes = thirstline_image_bytes(source, offset, count, ahead, status);
    const uint32_t content = count - THIRSTLINE_IMAGE_CRC_BYTES;
    if (bytes == NULL) return NULL;
    *status = THIRSTLINE_IMAGE_DAMAGED;
    if (!thirstline_checksums_agree(thirstline_crc32(crc, bytes, content),
                                    thirstline_u32(bytes + content)))
        return NULL;
    *status = THIRSTLINE_IMAGE_OK;
    return bytes;
}

/* A record of the file's own kind: its checksum also covers its offset. */
static inline const uint8_t* thirstline_image_record(const thirstline_image_source* source,
                                                     uint32_t offset, uint32_t count,
                                                     thirstline_image_status* status) {
    return thirstline_image_checked_bytes(source, offset, count, 0,
                                          thirstline_crc32_of_number(0, offset), status);
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
