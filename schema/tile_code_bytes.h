/* Codec 1 of a tile, the reading side: its bytes, from memory or brought piece by piece, and its
 * bits. See tile_code.h, of which this is the first part. */
#ifndef THIRSTLINE_TILE_CODE_BYTES_H
#define THIRSTLINE_TILE_CODE_BYTES_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include <stddef.h>
#include <stdint.h>

#if defined(__GNUC__) && defined(__OPTIMIZE__) && !defined(__OPTIMIZE_SIZE__)
#define THIRSTLINE_FAST inline __attribute__((always_inline))
#define THIRSTLINE_HAS_COUNT
#else
#define THIRSTLINE_FAST inline
#endif

#ifdef __cplusplus
#define THIRSTLINE_RESTRICT __restrict
extern "C" {
#else
#define THIRSTLINE_RESTRICT restrict
#endif

/* Where a tile's bytes are: in memory, or brought by `fetch` into the windows below. */
typedef struct {
    const uint8_t*
        memory;    /* THIRSTLINE_READ_AHEAD bytes after the last must be readable; or null */
    uint32_t size; /* of the tile, in bytes */
    /* Brings `count` bytes from `offset` of the tile; false if it cannot. */
    int (*fetch)(void* context, uint32_t offset, uint8_t* into, uint32_t count);
    void* context;
} thirstline_tile_bytes;

enum {
    THIRSTLINE_LONGEST_SYMBOL = 7, /* bytes that one residual takes at most */
    THIRSTLINE_LONGEST_RUN = 7,    /* residuals that are read without looking where the end is */
    THIRSTLINE_READ_AHEAD = THIRSTLINE_LONGEST_SYMBOL * THIRSTLINE_LONGEST_RUN,
    THIRSTLINE_WINDOW_BYTES = 64
};

/* Bytes read one after the other. */
typedef struct {
    const uint8_t* next;
    const uint8_t* end; /* of the tile's bytes that are at hand */
    const thirstline_tile_bytes* source;
    uint32_t offset;   /* of the tile's byte at `end` */
    uint32_t limit;    /* where those that belong to this reader end */
    uint32_t past_end; /* bytes that were asked for and are not there */
    uint8_t window[THIRSTLINE_WINDOW_BYTES];
} thirstline_byte_reader;

/* Bits read one after the other, the lowest of a byte first. */
typedef struct {
    thirstline_byte_reader bytes;
    uint32_t held;
    uint32_t held_bits;
} thirstline_bit_reader;
/* Fills the window again, keeping what is left of it; the rest of it is zeros. */
static inline void thirstline_refill(thirstline_byte_reader* reader) {
    uint32_t kept = 0;
    uint32_t count = reader->limit - reader->offset;
    if (reader->source->memory != NULL) return;
    for (; reader->next < reader->end; ++reader->next) reader->window[kept++] = *reader->next;
    if (count > THIRSTLINE_WINDOW_BYTES - kept) count = THIRSTLINE_WINDOW_BYTES - kept;
    if (count != 0 && !reader->source->fetch(reader->source->context, reader->offset,
                                             reader->window + kept, count)) {
        reader->limit = reader->offset;
        count = 0;
    }
    reader->offset += count;
    reader->next = reader->window;
    reader->end = reader->window + kept + count;
    for (kept += count; kept < THIRSTLINE_WINDOW_BYTES; ++kept) reader->window[kept] = 0;
}

/* `from` and `limit` must lie within the tile, in order. */
static inline void thirstline_read_from(thirstline_byte_reader* reader,
                                        const thirstline_tile_bytes* source, uint32_t from,
                                        uint32_t limit) {
    reader->source = source;
    reader->offset = source->memory != NULL ? limit : from;
    reader->limit = limit;
    reader->past_end = 0;
    /* A window begins empty, at its end: so thirstline_make_ready sees that it must be filled. */
    reader->end =
        source->memory != NULL ? source->memory + limit : reader->window + THIRSTLINE_WINDOW_BYTES;
    reader->next = source->memory != NULL ? source->memory + from : reader->end;
}

/* The next byte; 0 for ever after the last. */
static inline uint32_t thirstline_byte(thirstline_byte_reader* reader) {
    if (reader->next >= reader->end) {
        thirstline_refill(reader);
        if (reader->next >= reader->end) {
            ++reader->past_end;
            return 0;
        }
    }
    return *reader->next++;
}

/* After this THIRSTLINE_READ_AHEAD bytes may be read from `next` without a look at `end`. */
static inline void thirstline_make_ready(thirstline_byte_reader* reader) {
    if (reader->next > reader->end) {
        reader->past_end = 1;
        reader->next = reader->end;
    }
    if (reader->source->memory == NULL &&
        reader->window + THIRSTLINE_WINDOW_BYTES - reader->next < THIRSTLINE_READ_AHEAD)
        thirstline_refill(reader);
}

static inline void thirstline_hold_bits(thirstline_bit_reader* reader) {
    while (reader->held_bits <= 24) {
        reader->held |= thirstline_byte(&reader->bytes) << reader->held_bits;
        reader->held_bits += 8;
    }
}

/* At most 17 bits. */
static inline uint32_t thirstline_bits(thirstline_bit_reader* reader, uint32_t count) {
    uint32_t value;
    if (reader->held_bits < count) thirstline_hold_bits(reader);
    value = reader->held & ((1u << count) - 1u);
    reader->held >>= count;
    reader->held_bits -= count;
    return value;
}

/* Were bits read that are not there? */
static inline int thirstline_bits_ran_out(const thirstline_bit_reader* reader) {
    return reader->bytes.past_end > reader->held_bits / 8u;
}

/* How many of the lowest bits are ones, up to the first zero. */
static inline uint32_t thirstline_low_ones(uint32_t number) {
#ifdef THIRSTLINE_HAS_COUNT
    return number == 0xFFFFFFFFu ? 32u : (uint32_t)__builtin_ctz(~number);
#else
    uint32_t ones = 0;
    for (; (number & 1u) != 0; number >>= 1) ++ones;
    return ones;
#endif
}

/* A Golomb code with divisor 2^parameter: the quotient in ones that a zero ends, then the rest.
 * Sixteen ones: the number stands in the next 17 bits. */
static inline uint32_t thirstline_golomb(thirstline_bit_reader* reader, uint32_t parameter) {
    uint32_t quotient;
    if (reader->held_bits < 17) thirstline_hold_bits(reader);
    quotient = thirstline_low_ones(reader->held);
    if (quotient >= 16) {
        thirstline_bits(reader, 16);
        return thirstline_bits(reader, 17);
    }
    reader->held >>= quotient + 1u;
    reader->held_bits -= quotient + 1u;
    return (quotient << parameter) + thirstline_bits(reader, parameter);
}

/* 0, -1, 1, -2, 2 ... from 0, 1, 2, 3, 4 ...; as a difference of unsigned numbers. */
static inline uint32_t thirstline_signed(uint32_t folded) {
    return (folded >> 1) ^ (0u - (folded & 1u));
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
