/* Access to the host's files for a program that runs in an emulator: Arm's semihosting, as
 * published in "Semihosting for AArch32 and AArch64". */
#ifndef THIRSTLINE_TESTS_SEMIHOSTING_H
#define THIRSTLINE_TESTS_SEMIHOSTING_H

#include <stdint.h>

enum { HOST_READ = 1, HOST_WRITE = 5 }; /* modes: "rb", "wb" */

/* A handle, or -1. */
int32_t host_open(const char* name, uint32_t mode);
uint32_t host_size(int32_t file);
/* False if it could not bring or take all of them. */
int host_read(int32_t file, uint32_t offset, void* into, uint32_t count);
int host_write(int32_t file, const void* from, uint32_t count);
/* Ends the emulator. */
void host_exit(uint32_t is_success);

#endif
