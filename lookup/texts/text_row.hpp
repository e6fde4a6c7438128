// One sentence or word of a plan in both languages.
#pragma once

#include <string_view>

namespace thirstline {

/// Braces hold the names of arguments: "short by {amount}". Both languages have the same arguments.
struct TextRow {
    std::string_view key;  ///< "caution.freezing"
    std::string_view english;
    std::string_view spanish;
};

}  // namespace thirstline
