#include "schema/text/utf8_text.hpp"

namespace thirstline {
namespace {

unsigned char byte_at(std::string_view text, std::size_t at) {
    return static_cast<unsigned char>(text[at]);
}

/// How many bytes follow a first byte, and the range of the second byte that excludes overlong
/// forms, surrogates and characters beyond U+10FFFF (Unicode Standard, table 3-7).
struct Continuation {
    std::size_t bytes = 0;
    unsigned char least = 0x80;
    unsigned char greatest = 0xBF;
};

/// For bytes from 0x80 on; no bytes if a character cannot begin with it.
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

}  // namespace

Utf8Sequence utf8_sequence_at(std::string_view text, std::size_t at) {
    const unsigned char first = byte_at(text, at);
    if (first < 0x80) return {1, true, first};
    Continuation next = continuation_of(first);
    if (next.bytes == 0) return {};
    const std::size_t whole = 1 + next.bytes;
    char32_t character = first & (0x3FU >> next.bytes);
    for (std::size_t bytes = 1; bytes < whole; ++bytes) {
        if (at + bytes == text.size()) return {bytes};
        const unsigned char byte = byte_at(text, at + bytes);
        if (byte < next.least || byte > next.greatest) return {bytes};
        character = character << 6U | (byte & 0x3FU);
        next = {};
    }
    return {whole, true, character};
}

bool is_terminal_control(char32_t character) {
    const auto within = [character](char32_t least, char32_t greatest) {
        return character >= least && character <= greatest;
    };
    return within(0, 0x1F) || within(0x7F, 0x9F) || character == 0x061C || within(0x200E, 0x200F) ||
           within(0x2028, 0x202E) || within(0x2066, 0x2069);
}

std::string terminal_text(std::string_view text) {
    std::string out;
    for_each_character(text, [&out](char32_t character, std::string_view bytes) {
        out += character != U'\n' && is_terminal_control(character) ? kReplacement : bytes;
    });
    return out;
}

}  // namespace thirstline
