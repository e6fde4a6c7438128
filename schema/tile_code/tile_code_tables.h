/* The tables of codec 1: see tile_code.h, which includes them, and TILE_CODE.md. They were fitted
 * once to real data and are part of the format. */
#ifndef THIRSTLINE_TILE_CODE_TABLES_H
#define THIRSTLINE_TILE_CODE_TABLES_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */

#include <stdint.h>

enum {
    THIRSTLINE_TABLES = 14,
    THIRSTLINE_SYMBOLS = 16,
    THIRSTLINE_ESCAPE = THIRSTLINE_SYMBOLS - 1,
    THIRSTLINE_TABLES_AN_OCTAVE = 4, /* the last four tables are used with low bits for wider
                                        classes */
    THIRSTLINE_MOST_LOW_BITS = 12,
    THIRSTLINE_GREATEST_CLASS =
        THIRSTLINE_TABLES + THIRSTLINE_TABLES_AN_OCTAVE * THIRSTLINE_MOST_LOW_BITS,
    THIRSTLINE_EDGE_CLASSES = 2,
    THIRSTLINE_LEAST_STATE = 1 << 14,

    /* Golomb parameters of the head; its differences start from these values. */
    THIRSTLINE_HEAD_LENGTH_PARAMETER = 6,
    THIRSTLINE_STREAM_LENGTH_PARAMETER = 8,
    THIRSTLINE_FIRST_CORNER_PARAMETER = 8,
    THIRSTLINE_CLASS_PARAMETER = 2,
    THIRSTLINE_WEIGHT_PARAMETER = 1,
    THIRSTLINE_FIRST_CLASS = 11
};

/* Frequency, in 4096, of symbols less than 0, 1, ... 16. */
static const uint16_t thirstline_below[THIRSTLINE_TABLES][THIRSTLINE_SYMBOLS + 1] = {
    {0, 3818, 3901, 4070, 4073, 4076, 4077, 4078, 4079, 4080, 4081, 4082, 4083, 4084, 4085, 4086,
     4096},
    {0, 3400, 3885, 4083, 4084, 4085, 4086, 4087, 4088, 4089, 4090, 4091, 4092, 4093, 4094, 4095,
     4096},
    {0, 3142, 3381, 4079, 4080, 4084, 4085, 4086, 4087, 4088, 4089, 4090, 4091, 4092, 4093, 4094,
     4096},
    {0, 2731, 3788, 4062, 4084, 4085, 4086, 4087, 4088, 4089, 4090, 4091, 4092, 4093, 4094, 4095,
     4096},
    {0, 2636, 3398, 4052, 4071, 4085, 4086, 4087, 4088, 4089, 4090, 4091, 4092, 4093, 4094, 4095,
     4096},
    {0, 2589, 3336, 4070, 4076, 4085, 4086, 4087, 4088, 4089, 4090, 4091, 4092, 4093, 4094, 4095,
     4096},
    {0, 2205, 3601, 3979, 4077, 4085, 4086, 4087, 4088, 4089, 4090, 4091, 4092, 4093, 4094, 4095,
     4096},
    {0, 2145, 2865, 3917, 3979, 4081, 4083, 4087, 4088, 4089, 4090, 4091, 4092, 4093, 4094, 4095,
     4096},
    {0, 1783, 3121, 3703, 3989, 4054, 4082, 4086, 4088, 4089, 4090, 4091, 4092, 4093, 4094, 4095,
     4096},
    {0, 1648, 2431, 3531, 3700, 4004, 4028, 4079, 4082, 4089, 4090, 4091, 4092, 4093, 4094, 4095,
     4096},
    {0, 1396, 2427, 3082, 3499, 3729, 3870, 3950, 4000, 4032, 4051, 4065, 4074, 4080, 4084, 4087,
     4096},
    {0, 1345, 2250, 3059, 3423, 3748, 3870, 3972, 4012, 4048, 4063, 4074, 4080, 4084, 4087, 4089,
     4096},
    {0, 1262, 2315, 2943, 3455, 3687, 3880, 3959, 4018, 4045, 4067, 4076, 4083, 4087, 4090, 4092,
     4096},
    {0, 833, 1410, 2138, 2500, 3043, 3258, 3567, 3674, 3844, 3899, 3982, 4008, 4050, 4064, 4084,
     4096},
};

#ifndef THIRSTLINE_SMALL
/* The symbol at every 256th of 4096. */
static const uint8_t thirstline_hint[THIRSTLINE_TABLES][16] = {
    {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1},
    {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1},
    {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 2, 2},
    {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2},
    {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 2},
    {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 2},
    {0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 2},
    {0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 2},
    {0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 2, 2, 3},
    {0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 2, 3, 4},
    {0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 3, 4, 5},
    {0, 0, 0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 5},
    {0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 2, 2, 3, 3, 4, 5},
    {0, 0, 0, 0, 1, 1, 2, 2, 2, 3, 4, 4, 5, 6, 7, 8},
};
#endif

/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
