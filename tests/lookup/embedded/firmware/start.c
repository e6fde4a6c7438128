/* Start-up code of a Cortex-M: its vectors, and memory initialised as C requires. */
#include <stddef.h>
#include <stdint.h>

extern uint32_t data_load[], data_begin[], data_end[], bss_begin[], bss_end[], stack_top[];
int main(void);

static void start(void) {
    uint32_t* to;
    const uint32_t* from = data_load;
    for (to = data_begin; to < data_end;) *to++ = *from++;
    for (to = bss_begin; to < bss_end;) *to++ = 0;
    main();
}

static void fail(void) {
    for (;;) __asm__ volatile("bkpt 0");
}

__attribute__((section(".vectors"), used)) static const void* const vectors[16] = {
    stack_top,   (void*)start, (void*)fail, (void*)fail, (void*)fail,
    (void*)fail, (void*)fail,  0,           0,           0,
    0,           (void*)fail,  (void*)fail, 0,           (void*)fail,
    (void*)fail};

/* The compiler calls these without being asked. */
void* memset(void* to, int value, size_t count);
void* memcpy(void* to, const void* from, size_t count);

void* memset(void* to, int value, size_t count) {
    unsigned char* at = to;
    for (; count != 0; --count) *at++ = (unsigned char)value;
    return to;
}

void* memcpy(void* to, const void* from, size_t count) {
    unsigned char* at = to;
    const unsigned char* next = from;
    for (; count != 0; --count) *at++ = *next++;
    return to;
}
