#include "semihosting.h"

#ifdef THIRSTLINE_ON_ARM

enum {
    SYS_OPEN = 0x01,
    SYS_WRITE = 0x05,
    SYS_READ = 0x06,
    SYS_SEEK = 0x0A,
    SYS_FLEN = 0x0C,
    SYS_EXIT = 0x18
};

static int32_t asked(uint32_t what, const void* of) {
    register uint32_t r0 __asm__("r0") = what;
    register const void* r1 __asm__("r1") = of;
    __asm__ volatile("bkpt 0xAB" : "+r"(r0) : "r"(r1) : "memory");
    return (int32_t)r0;
}

int32_t host_open(const char* name, uint32_t mode) {
    uint32_t length = 0;
    while (name[length] != 0) ++length;
    const uint32_t block[3] = {(uint32_t)(uintptr_t)name, mode, length};
    return asked(SYS_OPEN, block);
}

uint32_t host_size(int32_t file) {
    const uint32_t block[1] = {(uint32_t)file};
    return (uint32_t)asked(SYS_FLEN, block);
}

int host_read(int32_t file, uint32_t offset, void* into, uint32_t count) {
    const uint32_t seek[2] = {(uint32_t)file, offset};
    const uint32_t block[3] = {(uint32_t)file, (uint32_t)(uintptr_t)into, count};
    return asked(SYS_SEEK, seek) == 0 && asked(SYS_READ, block) == 0;
}

int host_write(int32_t file, const void* from, uint32_t count) {
    const uint32_t block[3] = {(uint32_t)file, (uint32_t)(uintptr_t)from, count};
    return asked(SYS_WRITE, block) == 0;
}

void host_exit(uint32_t is_success) {
    asked(SYS_EXIT, (const void*)(uintptr_t)(is_success ? 0x20026u : 0x20024u));
    for (;;) {
    }
}

#else /* the same on a machine with an operating system */

#include <stdio.h>
#include <stdlib.h>

static FILE* files[8];

int32_t host_open(const char* name, uint32_t mode) {
    int32_t at = 0;
    while (at < 8 && files[at] != NULL) ++at;
    files[at] = fopen(name, mode == HOST_READ ? "rb" : "wb");
    return files[at] != NULL ? at : -1;
}

uint32_t host_size(int32_t file) {
    fseek(files[file], 0, SEEK_END);
    return (uint32_t)ftell(files[file]);
}

int host_read(int32_t file, uint32_t offset, void* into, uint32_t count) {
    return fseek(files[file], (long)offset, SEEK_SET) == 0 &&
           fread(into, 1, count, files[file]) == count;
}

int host_write(int32_t file, const void* from, uint32_t count) {
    return fwrite(from, 1, count, files[file]) == count;
}

void host_exit(uint32_t is_success) {
    int32_t at;
    for (at = 0; at < 8; ++at)
        if (files[at] != NULL) fclose(files[at]);
    exit(is_success ? 0 : 1);
}

#endif
