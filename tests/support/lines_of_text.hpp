// Searches texts written for people.
#pragma once

#include <string>
#include <vector>

#include "schema/text/text_wrapping.hpp"

namespace thirstline::test {

inline std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = text.find('\n', at);
        lines.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return lines;
}

/// The first line that begins with `start`.
inline std::string line_with(const std::string& text, const std::string& start) {
    for (const std::string& line : lines_of(text)) {
        if (line.starts_with(start)) return line;
    }
    return {};
}

/// The text with each run of blanks and line ends replaced by one blank.
inline std::string flowing(const std::string& text) {
    return wrapped(text, 1'000'000);
}

inline bool says(const std::string& text, const std::string& words) {
    return flowing(text).find(words) != std::string::npos;
}

}  // namespace thirstline::test
