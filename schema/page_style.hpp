// What all of the project's pages look like: colours by day and by night, letters, tables.
//
// Thread safety: constant data.
#pragma once

#include <string_view>

namespace thirstline {

/// Style sheet text, to which each page adds its own.
[[nodiscard]] std::string_view shared_page_style();

}  // namespace thirstline
