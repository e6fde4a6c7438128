#include "schema/text/json_text.hpp"

#include <algorithm>
#include <cstddef>

#include "schema/text/utf8_text.hpp"

namespace thirstline {
namespace {

bool is_plain(char c) {
    return c >= ' ' && c <= '~' && c != '"' && c != '\\';
}

void append_escaped_ascii(std::string& out, char c) {
    constexpr std::string_view kNamed = "\"\\\b\f\n\r\t";
    constexpr std::string_view kNames = "\"\\bfnrt";
    constexpr std::string_view kHex = "0123456789abcdef";
    if (const std::size_t named = kNamed.find(c); named != std::string_view::npos) {
        out.push_back('\\');
        out.push_back(kNames[named]);
    } else if (c < ' ') {
        out += "\\u00";
        out.push_back(kHex[static_cast<std::size_t>(c) / 16]);
        out.push_back(kHex[static_cast<std::size_t>(c) % 16]);
    } else {
        out.push_back(c);
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
        if (character < 0x80)
            append_escaped_ascii(out, bytes.front());
        else
            out += bytes;
    });
    out.push_back('"');
}

}  // namespace thirstline
