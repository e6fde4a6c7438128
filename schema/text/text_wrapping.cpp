#include "schema/text/text_wrapping.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace thirstline {

std::size_t columns_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

std::string wrapped(std::string_view text, std::size_t width, std::string_view first_indent,
                    std::string_view later_indent) {
    constexpr std::string_view kBlanks = " \t\r\n";
    std::string out;
    std::string line(first_indent);
    bool line_has_word = false;
    for (std::size_t at = text.find_first_not_of(kBlanks); at != std::string_view::npos;) {
        const std::size_t end = std::min(text.find_first_of(kBlanks, at), text.size());
        const std::string_view word = text.substr(at, end - at);
        if (line_has_word && columns_of(line) + 1 + columns_of(word) > width) {
            out += line + "\n";
            line = later_indent;
            line_has_word = false;
        }
        if (line_has_word) line.push_back(' ');
        line += word;
        line_has_word = true;
        at = text.find_first_not_of(kBlanks, end);
    }
    if (line_has_word) out += line + "\n";
    return out;
}

std::string paragraphs(const std::vector<std::string>& texts, std::size_t width) {
    std::string out;
    for (const std::string& text : texts) out += wrapped(text, width);
    return out;
}

std::string listed(std::string_view heading, const std::vector<std::string>& items,
                   std::size_t width) {
    if (items.empty()) return {};
    std::string out = std::string(heading) + "\n";
    for (const std::string& item : items) out += wrapped(item, width, "- ", "  ");
    return out + "\n";
}

std::string right_aligned(std::string_view text, std::size_t width) {
    const std::size_t columns = columns_of(text);
    return std::string(columns < width ? width - columns : 0, ' ') + std::string(text);
}

std::string left_aligned(std::string_view text, std::size_t width) {
    const std::size_t columns = columns_of(text);
    return std::string(text) + std::string(columns < width ? width - columns : 0, ' ');
}

std::string bar(double share, std::size_t width, bool utf8) {
    share = std::clamp(share, 0.0, 1.0);
    if (!utf8) {
        return std::string(
            static_cast<std::size_t>(std::lround(share * static_cast<double>(width))), '#');
    }
    constexpr std::array<std::string_view, 8> kEighths{"", "▏", "▎", "▍", "▌", "▋", "▊", "▉"};
    const auto eighths =
        static_cast<std::size_t>(std::lround(share * 8.0 * static_cast<double>(width)));
    std::string out;
    for (std::size_t i = 0; i < eighths / 8; ++i) out += "█";
    return out + std::string(kEighths[eighths % 8]);
}

}  // namespace thirstline
