#include "schema/text/utf8_text.hpp"

#include <algorithm>

namespace thirstline {
namespace {

unsigned char byte_at(std::string_view text, std::size_t at) {
    return static_cast<unsigned char>(text[at]);
}

/// How many bytes follow a first byte, and between what the next one must lie.
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

bool is_shown(char c) {
    return (c >= ' ' && c <= '~') || c == '\n';
}

}  // namespace

Utf8Sequence utf8_sequence_at(std::string_view text, std::size_t at) {
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

char32_t utf8_character(std::string_view sequence) {
    const unsigned char first = byte_at(sequence, 0);
    char32_t character = sequence.size() == 1   ? first
                         : sequence.size() == 2 ? first & 0x1FU
                         : sequence.size() == 3 ? first & 0x0FU
                                                : first & 0x07U;
    for (std::size_t i = 1; i < sequence.size(); ++i)
        character = character << 6 | (byte_at(sequence, i) & 0x3FU);
    return character;
}

bool is_terminal_control(char32_t character) {
    const auto within = [character](char32_t least, char32_t greatest) {
        return character >= least && character <= greatest;
    };
    return within(0, 0x1F) || within(0x7F, 0x9F) || character == 0x061C || within(0x200E, 0x200F) ||
           within(0x2028, 0x202E) || within(0x2066, 0x2069);
}

std::string terminal_text(std::string_view text) {
    if (std::all_of(text.begin(), text.end(), is_shown)) return std::string(text);
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        if (is_shown(text[at])) {
            out.push_back(text[at++]);
            continue;
        }
        Utf8Sequence sequence{1, true};
        if (byte_at(text, at) >= 0x80) sequence = utf8_sequence_at(text, at);
        const std::string_view bytes = text.substr(at, sequence.bytes);
        const bool is_sound = sequence.is_whole && !is_terminal_control(utf8_character(bytes));
        out += is_sound ? bytes : kReplacement;
        at += sequence.bytes;
    }
    return out;
}

}  // namespace thirstline
