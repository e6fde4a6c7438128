// The width of the user's terminal.
//
// Thread safety: asks the operating system; safe from any thread.
#pragma once

#include <cstddef>
#include <optional>

namespace thirstline {

/// Width in columns of the terminal on standard output; empty if it is not a terminal.
[[nodiscard]] std::optional<std::size_t> terminal_columns();

}  // namespace thirstline
