#include "schema/text/json_text.hpp"

#include <algorithm>
#include <cstddef>

namespace thirstline {
namespace {

unsigned char byte_at(std::string_view text, std::size_t at) {
    return static_cast<unsigned char>(text[at]);
}

bool is_plain(char c) {
    return c >= ' ' && c <= '~' && c != '"' && c != '\\';
}

/// How many bytes follow a first byte, and between what the next one must lie, so that no character
/// is longer than it need be, a surrogate, or beyond U+10FFFF (Unicode Standard, table 3-7).
struct Continuation {
    std::size_t bytes = 0;
    unsigned char least = 0x80;
    unsigned char greatest = 0xBF;
};

/// Of bytes from 0x80 on; no bytes where none begins a character so.
Continuation continuation_of(unsigned char first) {
    if (first >= 0xC2 && first <= 0xDF) return {1};
    if (first == 0xE0) return {2, 0xA0, 0xBF};
    if (first == 0xED) return {2, 0x80, 0x9F};
    if (first >= 0xE1 && first <= 0xEF) return {2};
    if (first == 0xF0) return {3, 0x90, 0xBF};
    if (first >= 0xF1 && first <= 0xF3) return {3};
    if (first == 0xF4) return {3, 0x80, 0x8F};
    return {};
}

/// A character's bytes, or the maximal part of one.
struct Sequence {
    std::size_t bytes = 1;
    bool is_whole = false;
};

Sequence sequence_at(std::string_view text, std::size_t at) {
    Continuation next = continuation_of(byte_at(text, at));
    if (next.bytes == 0) return {};
    const std::size_t whole = 1 + next.bytes;
    for (std::size_t bytes = 1; bytes < whole; ++bytes) {
        if (at + bytes == text.size()) return {bytes, false};
        const unsigned char byte = byte_at(text, at + bytes);
        if (byte < next.least || byte > next.greatest) return {bytes, false};
        next = {};
    }
    return {whole, true};
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
    for (std::size_t at = 0; at < text.size();) {
        if (byte_at(text, at) < 0x80) {
            append_escaped_ascii(out, text[at]);
            ++at;
            continue;
        }
        const Sequence sequence = sequence_at(text, at);
        out += sequence.is_whole ? text.substr(at, sequence.bytes) : kReplacement;
        at += sequence.bytes;
    }
    out.push_back('"');
}

}  // namespace thirstline
