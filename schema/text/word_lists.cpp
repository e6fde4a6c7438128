#include "schema/text/word_lists.hpp"

#include "schema/base/words.hpp"

namespace thirstline {

std::string counted(std::int64_t count, const std::string& noun) {
    return std::to_string(count) + " " + noun + (count == 1 ? "" : "s");
}

std::string joined_with_and(const std::vector<std::string>& words) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) out += i + 1 == words.size() ? " and " : ", ";
        out += words[i];
    }
    return out;
}

std::string capitalised(std::string text) {
    if (text.empty()) return text;
    // In UTF-8, the capitals from À to Þ are 0x20 below the small letters.
    const bool is_accented = text.size() > 1 && text[0] == '\xC3' && text[1] >= '\xA0' &&
                             text[1] <= '\xBE' && text[1] != '\xB7';
    if (is_accented) text[1] = static_cast<char>(text[1] - 0x20);
    text.front() = ascii_upper(text.front());
    return text;
}

}  // namespace thirstline
