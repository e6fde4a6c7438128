#include "builder/grids/pipe_check.hpp"

#include <sys/stat.h>

namespace thirstline {

Result<void> refuse_pipe(const std::string& path, const std::string& where) {
    struct stat status {};
    if (stat(path.c_str(), &status) != 0) return {};
    if (!S_ISFIFO(status.st_mode) && !S_ISSOCK(status.st_mode) && !S_ISCHR(status.st_mode))
        return {};
    return fail(ErrorCode::bad_input, where + path + " is a pipe or a device, not a file",
                "save what it gives to a file, and name that");
}

}  // namespace thirstline
