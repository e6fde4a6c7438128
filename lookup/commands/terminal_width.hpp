// How wide the reader's screen is.
//
// Thread safety: asks the operating system; safe from any thread.
#pragma once

#include <cstddef>
#include <optional>

namespace thirstline {

/// Columns of the terminal that standard output goes to; empty where it goes elsewhere.
[[nodiscard]] std::optional<std::size_t> terminal_columns();

}  // namespace thirstline
