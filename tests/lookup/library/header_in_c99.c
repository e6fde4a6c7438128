/* The C header compiles alone in strict C99, and its structs can be used in C. */
#include <thirstline/thirstline.h>

#if THIRSTLINE_VERSION_NUMBER != THIRSTLINE_VERSION_MAJOR * 1000000 + \
                                     THIRSTLINE_VERSION_MINOR * 1000 + THIRSTLINE_VERSION_PATCH
#error "the version macros disagree"
#endif

size_t size_of_site_in_c(void);
size_t size_of_site_in_c(void) {
    const thirstline_site site = {.struct_size = sizeof site, .status = THIRSTLINE_OK};
    return site.struct_size;
}
