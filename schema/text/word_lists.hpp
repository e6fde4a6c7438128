// Words put together to sentences.
//
// Thread safety: pure functions.
#pragma once

#include <string>
#include <vector>

namespace thirstline {

/// "Mon, Wed and Fri"
[[nodiscard]] std::string joined_with_and(const std::vector<std::string>& words);

/// With a capital letter at its start.
[[nodiscard]] std::string capitalised(std::string text);

}  // namespace thirstline
