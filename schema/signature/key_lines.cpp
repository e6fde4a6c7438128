#include "schema/signature/key_lines.hpp"

#include <sodium.h>

namespace thirstline {

std::string base64_text(std::span<const std::uint8_t> bytes) {
    constexpr int kVariant = sodium_base64_VARIANT_ORIGINAL;
    std::string text(sodium_base64_encoded_len(bytes.size(), kVariant), '\0');
    sodium_bin2base64(text.data(), text.size(), bytes.data(), bytes.size(), kVariant);
    text.pop_back();  // libsodium's final 0
    return text;
}

std::optional<std::vector<std::uint8_t>> base64_bytes(std::string_view text, std::size_t bytes) {
    std::vector<std::uint8_t> out(bytes);
    std::size_t written = 0;
    const bool is_base64 =
        sodium_base642bin(out.data(), out.size(), text.data(), text.size(), nullptr, &written,
                          nullptr, sodium_base64_VARIANT_ORIGINAL) == 0;
    // libsodium also takes some characters that are not Base64.
    if (!is_base64 || written != bytes || base64_text(out) != text) return std::nullopt;
    return out;
}

std::string_view line_of(std::string_view text, std::size_t number) {
    for (; number > 0; --number) {
        const std::size_t end = text.find('\n');
        if (end == std::string_view::npos) return {};
        text.remove_prefix(end + 1);
    }
    text = text.substr(0, text.find('\n'));
    if (text.ends_with('\r')) text.remove_suffix(1);
    return text;
}

}  // namespace thirstline
