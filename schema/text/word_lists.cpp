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
    if (!text.empty()) text.front() = ascii_upper(text.front());
    return text;
}

}  // namespace thirstline
