/* Codec 1 of a tile, the reading side: its bytes and bits. First part of tile_code.h; see there. */
#ifndef THIRSTLINE_TILE_CODE_BYTES_H
#define THIRSTLINE_TILE_CODE_BYTES_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include <stddef.h>
#include <stdint.h>

#if defined(__GNUC__) && defined(__OPTIMIZE__) && !defined(__OPTIMIZE_SIZE__)
#define THIRSTLINE_ALWAYS_INLINE inline __attribute__((always_inline))
#define THIRSTLINE_NOINLINE __attribute__((noinline, unused))
#define THIRSTLINE_HAS_COUNT
#else
#define THIRSTLINE_ALWAYS_INLINE inline
#define THIRSTLINE_NOINLINE inline
#endif

#ifdef __cplusplus
#define THIRSTLINE_RESTRICT __restrict
extern "C" {
#else
#define THIRSTLINE_RESTRICT restrict
#endif

/* Firmware defines THIRSTLINE_SMALL before it includes this: less code, less memory, and a shorter
 * read past a tile's end, but slower. Tiles may then have at most two layers with planes. */
#ifdef THIRSTLINE_SMALL
#define THIRSTLINE_LONGEST_RUN 1
#else
#define THIRSTLINE_LONGEST_RUN 7
#endif

/* Marks code that is kept once in small code, no matter how often it is called. */
#if defined(THIRSTLINE_SMALL) && defined(__GNUC__)
#define THIRSTLINE_OUTLINE static __attribute__((noinline, unused))
#else
#define THIRSTLINE_OUTLINE static inline
#endif

/* A tile's bytes, in memory. The bytes after the last may have any value. */
typedef struct {
    const uint8_t* memory; /* THIRSTLINE_READ_AHEAD bytes after the last must be readable */
    uint32_t size;         /* of the tile, in bytes */
} thirstline_tile_bytes;

enum {
    THIRSTLINE_LONGEST_SYMBOL = 7, /* maximum bytes of one residual */
    /* THIRSTLINE_LONGEST_RUN residuals are read without checking for the end. */
    THIRSTLINE_READ_AHEAD = THIRSTLINE_LONGEST_SYMBOL * THIRSTLINE_LONGEST_RUN
};

/* Bytes read in sequence. */
typedef struct {
    const uint8_t* next;
    const uint8_t* end;
    uint32_t past_end; /* number of bytes requested beyond the end */
} thirstline_byte_reader;

/* Bits read in sequence, the lowest of a byte first. */
typedef struct {
    thirstline_byte_reader bytes;
    uint32_t buffer;
    uint32_t buffer_bits;
} thirstline_bit_reader;

/* `from` and `limit` must be within the tile, in order. */
static inline void thirstline_read_from(thirstline_byte_reader* reader,
                                        const thirstline_tile_bytes* source, uint32_t from,
                                        uint32_t limit) {
    reader->next = source->memory + from;
    reader->end = source->memory + limit;
    reader->past_end = 0;
}

/* The next byte; always 0 after the last. */
static inline uint32_t thirstline_byte(thirstline_byte_reader* reader) {
    if (reader->next < reader->end) return *reader->next++;
    ++reader->past_end;
    return 0;
}

/* After this, THIRSTLINE_READ_AHEAD bytes may be read from `next` without checking `end`. */
static inline void thirstline_make_ready(thirstline_byte_reader* reader) {
    if (reader->next > reader->end) {
        reader->past_end = 1;
        reader->next = reader->end;
    }
}

static inline void thirstline_hold_bits(thirstline_bit_reader* reader) {
    while (reader->buffer_bits <= 24) {
        reader->buffer |= thirstline_byte(&reader->bytes) << reader->buffer_bits;
        reader->buffer_bits += 8;
    }
}

/* At most 17 bits. */
THIRSTLINE_OUTLINE uint32_t thirstline_bits(thirstline_bit_reader* reader, uint32_t count) {
    uint32_t value;
    if (reader->buffer_bits < count) thirstline_hold_bits(reader);
    value = reader->buffer & (((uint32_t)1 << count) - 1u);
    reader->buffer >>= count;
    reader->buffer_bits -= count;
    return value;
}

/* Whether bits beyond the end were read. */
static inline int thirstline_bits_ran_out(const thirstline_bit_reader* reader) {
    return reader->bytes.past_end > reader->buffer_bits / 8u;
}

/* Number of one bits below the lowest zero bit. */
static inline uint32_t thirstline_low_ones(uint32_t number) {
#ifdef THIRSTLINE_HAS_COUNT
    return number == 0xFFFFFFFFu ? 32u : (uint32_t)__builtin_ctz(~number);
#else
    uint32_t ones = 0;
    for (; (number & 1u) != 0; number >>= 1) ++ones;
    return ones;
#endif
}

/* A Golomb code with divisor 2^parameter: the quotient as ones ended by a zero, then the remainder.
 * After sixteen ones, the number is in the next 17 bits. */
THIRSTLINE_OUTLINE uint32_t thirstline_golomb(thirstline_bit_reader* reader, uint32_t parameter) {
    uint32_t quotient;
    if (reader->buffer_bits < 17) thirstline_hold_bits(reader);
    quotient = thirstline_low_ones(reader->buffer);
    if (quotient >= 16) {
        thirstline_bits(reader, 16);
        return thirstline_bits(reader, 17);
    }
    reader->buffer >>= quotient + 1u;
    reader->buffer_bits -= quotient + 1u;
    return (quotient << parameter) + thirstline_bits(reader, parameter);
}

/* 0, 1, 2, 3, 4 ... to 0, -1, 1, -2, 2 ...; as a difference of unsigned numbers. */
static inline uint32_t thirstline_signed(uint32_t folded) {
    return (folded >> 1) ^ (0u - (folded & 1u));
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
