#include "schema/text/json_text.hpp"

#include <algorithm>
#include <cstddef>

#include "schema/text/utf8_text.hpp"

namespace thirstline {
namespace {

bool is_plain(char c) {
    return c >= ' ' && c <= '~' && c != '"' && c != '\\';
}

/// \uXXXX: for characters up to U+FFFF.
void append_code(std::string& out, char32_t character) {
    constexpr std::string_view kHex = "0123456789abcdef";
    out += "\\u";
    for (int shift = 12; shift >= 0; shift -= 4) out.push_back(kHex[character >> shift & 0xFU]);
}

void append_escaped(std::string& out, char32_t character, std::string_view bytes) {
    constexpr std::string_view kNamed = "\"\\\b\f\n\r\t";
    constexpr std::string_view kNames = "\"\\bfnrt";
    const std::size_t named = kNamed.find(bytes);
    if (named != std::string_view::npos) {
        out.push_back('\\');
        out.push_back(kNames[named]);
    } else if (is_terminal_control(character)) {
        append_code(out, character);
    } else {
        out += bytes;
    }
}

}  // namespace

void append_json_text(std::string& out, std::string_view text) {
    out.push_back('"');
    if (std::all_of(text.begin(), text.end(), is_plain)) {
        out += text;
        out.push_back('"');
        return;
    }
    for_each_character(text, [&out](char32_t character, std::string_view bytes) {
        append_escaped(out, character, bytes);
    });
    out.push_back('"');
}

}  // namespace thirstline
