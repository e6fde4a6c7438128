// Joins words for use in sentences.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace thirstline {

/// "1 point", "7 points"
[[nodiscard]] std::string counted(std::int64_t count, const std::string& noun);

/// "Mon, Wed and Fri"
[[nodiscard]] std::string joined_with_and(const std::vector<std::string>& words);

/// With a capital first letter, also if it is accented: "área" gives "Área".
[[nodiscard]] std::string capitalised(std::string text);

}  // namespace thirstline
