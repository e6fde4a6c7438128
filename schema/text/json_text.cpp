#include "schema/text/json_text.hpp"

#include <algorithm>
#include <cstddef>

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

void append_escaped_ascii(std::string& out, char c) {
    constexpr std::string_view kNamed = "\"\\\b\f\n\r\t";
    constexpr std::string_view kNames = "\"\\bfnrt";
    if (const std::size_t named = kNamed.find(c); named != std::string_view::npos) {
        out.push_back('\\');
        out.push_back(kNames[named]);
    } else if (is_terminal_control(static_cast<unsigned char>(c))) {
        append_code(out, static_cast<unsigned char>(c));
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
    for (std::size_t at = 0; at < text.size();) {
        if (static_cast<unsigned char>(text[at]) < 0x80) {
            append_escaped_ascii(out, text[at]);
            ++at;
            continue;
        }
        const Utf8Sequence sequence = utf8_sequence_at(text, at);
        const std::string_view bytes = text.substr(at, sequence.bytes);
        if (!sequence.is_whole)
            out += kReplacement;
        else if (const char32_t character = utf8_character(bytes); is_terminal_control(character))
            append_code(out, character);
        else
            out += bytes;
        at += sequence.bytes;
    }
    out.push_back('"');
}

}  // namespace thirstline
