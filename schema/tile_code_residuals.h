/* Codec 1 of a tile, the reading side: residuals, by an entropy code of fixed tables. See
 * tile_code.h. */
#ifndef THIRSTLINE_TILE_CODE_RESIDUALS_H
#define THIRSTLINE_TILE_CODE_RESIDUALS_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "schema/tile_code_bytes.h"
#include "schema/tile_code_tables.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Brings a state back into its range, from the bytes that come next. Whether a byte is needed
 * cannot be foreseen, so the first is taken without a branch. */
static THIRSTLINE_FAST uint32_t thirstline_renormalised(uint32_t state, const uint8_t** next) {
    const uint32_t longer = (state << 8) | **next;
    const uint32_t mask = 0u - (state < THIRSTLINE_LEAST_STATE ? 1u : 0u);
    state ^= (state ^ longer) & mask;
    *next -= (int32_t)mask;
    while (state < THIRSTLINE_LEAST_STATE) state = (state << 8) | *(*next)++;
    return state;
}

/* At most 8 bits, each of probability a half. */
static inline uint32_t thirstline_even_bits(uint32_t* state, uint32_t count, const uint8_t** next) {
    const uint32_t value = *state & (((uint32_t)1 << count) - 1u);
    *state = thirstline_renormalised(*state >> count, next);
    return value;
}

/* The tables of a class, and how many low bits stand beside the symbol. */
typedef struct {
    const uint16_t* below; /* below[s]: in 4096, how often a symbol is less than s */
#ifndef THIRSTLINE_SMALL
    const uint8_t* hint; /* the symbol at each 256th of them */
#endif
    const uint32_t* starts; /* the same at each 16th, with the symbol's share; or null */
    uint32_t low_bits;
} thirstline_spread;

static inline thirstline_spread thirstline_spread_of(uint32_t residual_class,
                                                     const uint32_t (*starts)[256]) {
    thirstline_spread spread;
    uint32_t table = residual_class - 1u;
    spread.low_bits = 0;
    if (table >= THIRSTLINE_TABLES) {
        const uint32_t above = table - THIRSTLINE_TABLES;
        spread.low_bits = 1u + above / THIRSTLINE_TABLES_AN_OCTAVE;
        table =
            THIRSTLINE_TABLES - THIRSTLINE_TABLES_AN_OCTAVE + above % THIRSTLINE_TABLES_AN_OCTAVE;
    }
    spread.below = thirstline_below[table];
#ifndef THIRSTLINE_SMALL
    spread.hint = thirstline_hint[table];
#endif
    spread.starts = starts != NULL ? starts[table] : NULL;
    return spread;
}

/* The symbol at `at` of 4096, which is `symbol` or above, with where it begins and how often it is:
 * as `starts` holds them. */
static inline uint32_t thirstline_start(const thirstline_spread* spread, uint32_t at,
                                        uint32_t symbol) {
    while (spread->below[symbol + 1] <= at) ++symbol;
    return (uint32_t)spread->below[symbol] | (symbol << 12) |
           ((uint32_t)(spread->below[symbol + 1] - spread->below[symbol]) << 16);
}

/* The tables that make reading faster where 24 KB of memory are no matter. */
static inline void thirstline_fill_starts(uint32_t starts[THIRSTLINE_TABLES][256]) {
    uint32_t table, at;
    for (table = 0; table < THIRSTLINE_TABLES; ++table) {
        const thirstline_spread spread = thirstline_spread_of(table + 1u, NULL);
        for (at = 0; at < 256; ++at) starts[table][at] = thirstline_start(&spread, at * 16u, 0);
    }
}

/* What follows a symbol: an escape's bits, and the low bits. */
static inline uint32_t thirstline_completed(uint32_t* state, uint32_t symbol, uint32_t low_bits,
                                            const uint8_t** next) {
    uint32_t folded = symbol;
    if (symbol == THIRSTLINE_ESCAPE) {
        const uint32_t count = thirstline_even_bits(state, 5, next) & 15u;
        uint32_t above = thirstline_even_bits(state, count > 8 ? 8 : count, next);
        if (count > 8) above |= thirstline_even_bits(state, count - 8u, next) << 8;
        folded = THIRSTLINE_ESCAPE - 1u + ((uint32_t)1 << count) + above;
    }
    if (low_bits > 8) {
        folded = (folded << 8) | thirstline_even_bits(state, 8, next);
        low_bits -= 8;
    }
    return low_bits == 0 ? folded
                         : (folded << low_bits) | thirstline_even_bits(state, low_bits, next);
}

/* The next residual, modulo 2^16, from one of the two states. */
static THIRSTLINE_FAST uint32_t thirstline_residual(const thirstline_spread* spread,
                                                    uint32_t* state, const uint8_t** next) {
    const uint32_t at = *state & 4095u;
    uint32_t start, symbol;
    if (spread->starts != NULL) {
        start = spread->starts[at >> 4];
        if (at - (start & 4095u) >= start >> 16)
            start = thirstline_start(spread, at, start >> 12 & 15u);
    } else {
#ifdef THIRSTLINE_SMALL
        start = thirstline_start(spread, at, 0);
#else
        start = thirstline_start(spread, at, spread->hint[at >> 8]);
#endif
    }
    *state = thirstline_renormalised((start >> 16) * (*state >> 12) + at - (start & 4095u), next);
    symbol = start >> 12 & 15u;
    if (symbol == THIRSTLINE_ESCAPE || spread->low_bits != 0)
        symbol = thirstline_completed(state, symbol, spread->low_bits, next);
    return thirstline_signed(symbol);
}

/* The entropy decoder at work: kept out of the block while a plane is read, for speed. */
typedef struct {
    uint32_t state, in_turn;
    const uint8_t* next;
} thirstline_symbols;

/* Looks where the end of the stream is. */
static THIRSTLINE_FAST void thirstline_symbols_ready(thirstline_byte_reader* stream,
                                                     thirstline_symbols* symbols) {
    stream->next = symbols->next;
    thirstline_make_ready(stream);
    symbols->next = stream->next;
}

/* Adds the residuals of a run of at most seven points, `stride` apart, to what
 * stands in `sums`; only points whose bit is set have one. The states take turns. */
static THIRSTLINE_FAST void thirstline_add_run(thirstline_byte_reader* stream,
                                               thirstline_symbols* symbols,
                                               const thirstline_spread* spread, uint32_t has_value,
                                               uint16_t* sums, uint32_t stride) {
    thirstline_symbols_ready(stream, symbols);
    for (; has_value != 0; has_value >>= 1, sums += stride) {
        if ((has_value & 1u) != 0) {
            const uint32_t other = symbols->in_turn;
            *sums =
                (uint16_t)(*sums + thirstline_residual(spread, &symbols->state, &symbols->next));
            symbols->in_turn = symbols->state;
            symbols->state = other;
            if (THIRSTLINE_LONGEST_RUN == 1) thirstline_symbols_ready(stream, symbols);
        }
    }
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
