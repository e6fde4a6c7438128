#include "lookup/commands/terminal_width.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

namespace thirstline {

std::optional<std::size_t> terminal_columns() {
    winsize size{};
    if (isatty(STDOUT_FILENO) == 0 || ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 ||
        size.ws_col == 0) {
        return std::nullopt;
    }
    return size.ws_col;
}

}  // namespace thirstline
