/* Codec 1 of a tile, the reading side: residuals, in an entropy code with fixed tables. See
 * tile_code.h. */
#ifndef THIRSTLINE_TILE_CODE_RESIDUALS_H
#define THIRSTLINE_TILE_CODE_RESIDUALS_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include "schema/tile_code/tile_code_bytes.h"
#include "schema/tile_code/tile_code_tables.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Brings a state back into its range with the next bytes. Whether a byte is needed is
 * unpredictable, so the first is read without a branch. */
static THIRSTLINE_ALWAYS_INLINE uint32_t thirstline_renormalised(uint32_t state,
                                                                 const uint8_t** next) {
    const uint32_t longer = (state << 8) | **next;
    const uint32_t is_short = (state - THIRSTLINE_LEAST_STATE) >> 31;
    state ^= (state ^ longer) & (0u - is_short);
    *next += is_short;
    while (state < THIRSTLINE_LEAST_STATE) state = (state << 8) | *(*next)++;
    return state;
}

/* At most 8 bits, each with probability one half. */
static inline uint32_t thirstline_even_bits(uint32_t* state, uint32_t count, const uint8_t** next) {
    const uint32_t value = *state & (((uint32_t)1 << count) - 1u);
    *state = thirstline_renormalised(*state >> count, next);
    return value;
}

/* Entry for bits 4 to 11 of a state: the first symbol it can be, with its start and frequency in
 * 4096, and its residual if no low bits follow. For an escape or a rare symbol the residual is
 * THIRSTLINE_SEARCH. The state may also be past the symbol's range. */
typedef struct {
    uint16_t start, share;
    int16_t residual;
    uint16_t symbol;
} thirstline_quick_symbol;

enum { THIRSTLINE_QUICK_SYMBOLS = 256, THIRSTLINE_SEARCH = -32768 };

typedef struct {
    thirstline_quick_symbol at[THIRSTLINE_QUICK_SYMBOLS];
} thirstline_quick_table;

/* The tables of a class, and the number of low bits after the symbol. */
typedef struct {
    const uint16_t* below; /* below[s]: frequency, in 4096, of symbols less than s */
#ifndef THIRSTLINE_SMALL
    const uint8_t* hint;                  /* the symbol at every 256th of them */
    const thirstline_quick_symbol* quick; /* or null */
#endif
    uint32_t low_bits;
} thirstline_spread;

static inline thirstline_spread thirstline_spread_of(uint32_t residual_class,
                                                     const thirstline_quick_table* quick) {
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
    spread.quick = quick != NULL ? quick[table].at : NULL;
#else
    (void)quick;
#endif
    return spread;
}

/* A state, what was read from it, and the position of the stream's next byte. */
typedef struct {
    uint32_t state, folded;
    const uint8_t* next;
} thirstline_symbol;

/* Reads the low bits of a residual whose other bits are known. */
static THIRSTLINE_NOINLINE thirstline_symbol thirstline_with_low_bits(thirstline_symbol symbol,
                                                                      uint32_t low_bits) {
    if (low_bits > 8) {
        symbol.folded = (symbol.folded << 8) | thirstline_even_bits(&symbol.state, 8, &symbol.next);
        low_bits -= 8;
    }
    if (low_bits != 0)
        symbol.folded = (symbol.folded << low_bits) |
                        thirstline_even_bits(&symbol.state, low_bits, &symbol.next);
    return symbol;
}

/* The next residual, folded, of any kind. */
static THIRSTLINE_NOINLINE thirstline_symbol
thirstline_searched_symbol(const thirstline_spread* spread, thirstline_symbol symbol) {
    const uint32_t at = symbol.state & 4095u;
    const uint16_t* below = spread->below;
#ifndef THIRSTLINE_SMALL
    below += spread->hint[at >> 8];
#endif
    while (below[1] <= at) ++below;
    symbol.folded = (uint32_t)(below - spread->below);
    symbol.state = thirstline_renormalised(
        (uint32_t)(below[1] - below[0]) * (symbol.state >> 12) + (at - below[0]), &symbol.next);
    if (symbol.folded == THIRSTLINE_ESCAPE) {
        const uint32_t count = thirstline_even_bits(&symbol.state, 5, &symbol.next) & 15u;
        uint32_t above = thirstline_even_bits(&symbol.state, count > 8 ? 8 : count, &symbol.next);
        if (count > 8) above |= thirstline_even_bits(&symbol.state, count - 8u, &symbol.next) << 8;
        symbol.folded = THIRSTLINE_ESCAPE - 1u + ((uint32_t)1 << count) + above;
    }
    return spread->low_bits == 0 ? symbol : thirstline_with_low_bits(symbol, spread->low_bits);
}

#ifndef THIRSTLINE_SMALL
/* Fills tables that make reading faster where 28 KB of memory are available. A symbol in them
 * leaves a state that needs at most one byte to return to its range. */
static inline void thirstline_fill_quick_tables(thirstline_quick_table quick[THIRSTLINE_TABLES]) {
    uint32_t table, at, symbol;
    for (table = 0; table < THIRSTLINE_TABLES; ++table) {
        const uint16_t* below = thirstline_below[table];
        for (at = 0; at < THIRSTLINE_QUICK_SYMBOLS; ++at) {
            thirstline_quick_symbol* entry = &quick[table].at[at];
            symbol = 0;
            while (below[symbol + 1] <= at * 16u) ++symbol;
            entry->start = below[symbol];
            entry->share = (uint16_t)(below[symbol + 1] - below[symbol]);
            entry->symbol = (uint16_t)symbol;
            entry->residual = symbol != THIRSTLINE_ESCAPE && entry->share >= 16u
                                  ? (int16_t)thirstline_signed(symbol)
                                  : (int16_t)THIRSTLINE_SEARCH;
        }
    }
}
#endif

/* The next residual, modulo 2^16, from one of the two states. */
static THIRSTLINE_ALWAYS_INLINE uint32_t thirstline_residual(const thirstline_spread* spread,
                                                             uint32_t* state,
                                                             const uint8_t** next) {
    thirstline_symbol symbol;
    symbol.state = *state;
    symbol.next = *next;
    symbol.folded = 0;
    symbol = thirstline_searched_symbol(spread, symbol);
    *state = symbol.state;
    *next = symbol.next;
    return thirstline_signed(symbol.folded);
}

#ifndef THIRSTLINE_SMALL
/* The same with `spread->quick`, which is not null. */
static THIRSTLINE_ALWAYS_INLINE uint32_t thirstline_quick_residual(const thirstline_spread* spread,
                                                                   uint32_t has_low_bits,
                                                                   uint32_t* state,
                                                                   const uint8_t** next) {
    const thirstline_quick_symbol* quick = spread->quick + (*state >> 4 & 255u);
    const uint32_t past = (*state & 4095u) - quick->start;
    if (quick->residual != THIRSTLINE_SEARCH && past < quick->share) {
        const uint32_t longest = (uint32_t)quick->share * (*state >> 12) + past;
        const uint32_t mask = 0u - ((longest - THIRSTLINE_LEAST_STATE) >> 31);
        const uint32_t longer = (longest << 8) | **next;
        *state = longest ^ ((longest ^ longer) & mask);
        *next -= (int32_t)mask;
        if (has_low_bits) {
            thirstline_symbol symbol;
            symbol.state = *state;
            symbol.next = *next;
            symbol.folded = quick->symbol;
            symbol = thirstline_with_low_bits(symbol, spread->low_bits);
            *state = symbol.state;
            *next = symbol.next;
            return thirstline_signed(symbol.folded);
        }
        return (uint32_t)(int32_t)quick->residual;
    }
    return thirstline_residual(spread, state, next);
}
#endif

/* The same, by the fastest method available. */
static THIRSTLINE_ALWAYS_INLINE uint32_t thirstline_any_residual(const thirstline_spread* spread,
                                                                 uint32_t* state,
                                                                 const uint8_t** next) {
#ifndef THIRSTLINE_SMALL
    if (spread->quick != NULL)
        return thirstline_quick_residual(spread, spread->low_bits != 0, state, next);
#endif
    return thirstline_residual(spread, state, next);
}

/* The entropy decoder's state: kept outside the block while a plane is read, for speed. */
typedef struct {
    uint32_t state, in_turn;
    const uint8_t* next;
} thirstline_symbols;

/* Checks for the end of the stream. */
static THIRSTLINE_ALWAYS_INLINE void thirstline_symbols_ready(thirstline_byte_reader* stream,
                                                              thirstline_symbols* symbols) {
    stream->next = symbols->next;
    thirstline_make_ready(stream);
    symbols->next = stream->next;
}

static THIRSTLINE_ALWAYS_INLINE void thirstline_swap_states(thirstline_symbols* symbols) {
    const uint32_t other = symbols->in_turn;
    symbols->in_turn = symbols->state;
    symbols->state = other;
}

#ifndef THIRSTLINE_SMALL
/* Adds the residuals of seven points, `stride` apart, in pairs, without tests. */
static THIRSTLINE_ALWAYS_INLINE void thirstline_add_seven(thirstline_symbols* symbols,
                                                          const thirstline_spread* spread,
                                                          uint32_t has_low_bits, uint16_t* sums,
                                                          uint32_t stride) {
    uint32_t pair;
    for (pair = 0; pair < 3; ++pair, sums += 2u * stride) {
        sums[0] = (uint16_t)(sums[0] + thirstline_quick_residual(spread, has_low_bits,
                                                                 &symbols->state, &symbols->next));
        sums[stride] =
            (uint16_t)(sums[stride] + thirstline_quick_residual(spread, has_low_bits,
                                                                &symbols->in_turn, &symbols->next));
    }
    sums[0] = (uint16_t)(sums[0] + thirstline_quick_residual(spread, has_low_bits, &symbols->state,
                                                             &symbols->next));
    thirstline_swap_states(symbols);
}
#endif

/* Adds the residuals of a run of at most seven points, `stride` apart, to `sums`; only points whose
 * bit is set have one. The two states alternate. */
static THIRSTLINE_ALWAYS_INLINE void thirstline_add_run(thirstline_byte_reader* stream,
                                                        thirstline_symbols* symbols,
                                                        const thirstline_spread* spread,
                                                        uint32_t has_value, uint16_t* sums,
                                                        uint32_t stride) {
    thirstline_symbols_ready(stream, symbols);
#ifndef THIRSTLINE_SMALL
    if (has_value == 127u && spread->quick != NULL) { /* the usual run */
        if (spread->low_bits == 0)
            thirstline_add_seven(symbols, spread, 0, sums, stride);
        else
            thirstline_add_seven(symbols, spread, 1, sums, stride);
        return;
    }
#endif
    for (; has_value != 0; has_value >>= 1, sums += stride) {
        if ((has_value & 1u) != 0) {
            *sums = (uint16_t)(*sums +
                               thirstline_any_residual(spread, &symbols->state, &symbols->next));
            thirstline_swap_states(symbols);
            if (THIRSTLINE_LONGEST_RUN == 1) thirstline_symbols_ready(stream, symbols);
        }
    }
}

#ifdef __cplusplus
}
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
