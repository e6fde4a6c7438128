/* Answers questions from an image through a callback, as firmware would: on a microcontroller in an
 * emulator, or on any other machine. The file `questions` has records of 24 bytes; `answers` gets
 * one of 140 for each. All numbers are little-endian. compare_machines.py writes and reads them. */
#include <stdint.h>

#include "lookup/embedded/image.h"
#include "semihosting.h"

enum { QUESTION_BYTES = 24, ANSWER_WORDS = 35 };

/* What the callback was asked for. */
static uint32_t reads, bytes_read;
static int32_t image_file;

static int bring(void* context, uint32_t offset, uint8_t* into, uint32_t count) {
    (void)context;
    ++reads;
    bytes_read += count;
    return host_read(image_file, offset, into, count);
}

#ifdef THIRSTLINE_ON_ARM

/* Where the stack may grow down to: from the linker's script. */
extern uint32_t stack_floor[];
enum { PAINT = 0x5AA5C33C };

/* Paints what is free of the stack, so that one sees afterwards how far down it was used. */
static inline uint32_t stack_pointer(void) {
    uint32_t pointer;
    __asm__ volatile("mov %0, sp" : "=r"(pointer));
    return pointer;
}

static inline void paint_stack(void) {
    const uint32_t top = stack_pointer();
    uint32_t at;
    for (at = (uint32_t)(uintptr_t)stack_floor; at < top; at += 4)
        *(volatile uint32_t*)(uintptr_t)at = PAINT;
}

static inline uint32_t stack_bytes(void) {
    const uint32_t* at = stack_floor;
    while (*at == PAINT) ++at;
    return stack_pointer() - (uint32_t)(uintptr_t)at;
}

/* The system timer counts down in 24 bits; the emulator runs an instruction a nanosecond. */
#define SYSTICK ((volatile uint32_t*)0xE000E010)
static void start_timer(void) {
    SYSTICK[0] = 0;
    SYSTICK[1] = 0xFFFFFF;
    SYSTICK[2] = 0;
    SYSTICK[0] = 5;
}
static uint32_t timer_ticks(void) {
    return 0xFFFFFFu - SYSTICK[2];
}

#else

static void paint_stack(void) {}
static uint32_t stack_bytes(void) {
    return 0;
}
static void start_timer(void) {}
static uint32_t timer_ticks(void) {
    return 0;
}

#endif

static uint32_t number_at(const uint8_t* bytes) {
    return (uint32_t)bytes[0] | (uint32_t)bytes[1] << 8 | (uint32_t)bytes[2] << 16 |
           (uint32_t)bytes[3] << 24;
}

static void put_number(uint8_t* bytes, uint32_t number) {
    uint32_t at;
    for (at = 0; at < 4; ++at) bytes[at] = (uint8_t)(number >> 8 * at);
}

/* One question: the postal code, if one is given, else the position. `buffer_bytes` of the stack
 * are the image's buffer while it is answered. */
static __attribute__((noinline)) thirstline_image_status answer_question(
    thirstline_image* image, const uint8_t* question, thirstline_image_answer* answer) {
    uint8_t buffer[THIRSTLINE_TEST_BUFFER];
    thirstline_image_postal_place place;
    thirstline_image_status status;
    image->source.buffer = buffer;
    image->source.buffer_bytes = sizeof buffer;
    place.position.lat_e7 = (int32_t)number_at(question);
    place.position.lon_e7 = (int32_t)number_at(question + 4);
    if (question[12] != 0) {
        status = thirstline_image_find_code(image, (const char*)question + 12, NULL, &place);
        if (status != THIRSTLINE_IMAGE_OK) return status;
    }
    return thirstline_image_look_up(image, place.position, number_at(question + 8), answer);
}

int main(void) {
    static thirstline_image image;
    static thirstline_image_answer answer;
    static uint8_t question[QUESTION_BYTES], record[4 * ANSWER_WORDS];
    static uint8_t opening_buffer[THIRSTLINE_IMAGE_BLOCK_BYTES];
    thirstline_image_source source = {NULL, 0, bring, NULL, opening_buffer, sizeof opening_buffer};
    const int32_t questions = host_open("questions", HOST_READ);
    const int32_t answers = host_open("answers", HOST_WRITE);
    uint32_t at, count, value;
    image_file = host_open("image", HOST_READ);
    if (questions < 0 || answers < 0 || image_file < 0) host_exit(0);
    source.size = host_size(image_file);
#ifdef THIRSTLINE_FROM_MEMORY
    static uint8_t whole[THIRSTLINE_FROM_MEMORY];
    if (source.size > sizeof whole || !bring(NULL, 0, whole, source.size)) host_exit(0);
    source.memory = whole;
#endif
    if (thirstline_image_open(&image, &source) != THIRSTLINE_IMAGE_OK) host_exit(0);
    count = host_size(questions) / QUESTION_BYTES;
    for (at = 0; at < count; ++at) {
        uint32_t words[ANSWER_WORDS] = {0};
        if (!host_read(questions, at * QUESTION_BYTES, question, QUESTION_BYTES)) host_exit(0);
        reads = bytes_read = 0;
        paint_stack();
        start_timer();
        words[0] = (uint32_t)answer_question(&image, question, &answer);
        words[5] = timer_ticks();
        words[6] = stack_bytes();
        words[7] = reads;
        words[8] = bytes_read;
        words[9] = (uint32_t)sizeof image;
        words[10] = (uint32_t)sizeof answer;
        if (words[0] == THIRSTLINE_IMAGE_OK) {
            words[1] = answer.is_interpolated;
            words[2] = (uint32_t)answer.distance_m;
            words[3] = (uint32_t)answer.at.lat_e7;
            words[4] = (uint32_t)answer.at.lon_e7;
            for (value = 0; value < THIRSTLINE_IMAGE_VALUES; ++value)
                words[11 + value] =
                    (uint32_t)thirstline_image_value(&answer, value / 12, value % 12);
        }
        for (value = 0; value < ANSWER_WORDS; ++value) put_number(record + 4 * value, words[value]);
        if (!host_write(answers, record, sizeof record)) host_exit(0);
    }
    host_exit(1);
    return 0;
}
