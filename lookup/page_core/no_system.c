/* The page's module has no files and no terminal. The C library would import host functions to
 * report a fault before it ends; these functions fail in their place, so that the module imports
 * nothing. */
#include <wasi/api.h>

__wasi_errno_t __wasi_fd_close(__wasi_fd_t fd) {
    (void)fd;
    return __WASI_ERRNO_BADF;
}

__wasi_errno_t __wasi_fd_seek(__wasi_fd_t fd, __wasi_filedelta_t offset, __wasi_whence_t whence,
                              __wasi_filesize_t* at) {
    (void)fd, (void)offset, (void)whence, (void)at;
    return __WASI_ERRNO_BADF;
}

__wasi_errno_t __wasi_fd_write(__wasi_fd_t fd, const __wasi_ciovec_t* parts, size_t count,
                               __wasi_size_t* written) {
    (void)fd, (void)parts, (void)count, (void)written;
    return __WASI_ERRNO_BADF;
}
