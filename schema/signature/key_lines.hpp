// The lines of which keys and signatures consist: fixed numbers of bytes in Base64 (RFC 4648).
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// Of the files with keys, signatures and passwords.
inline constexpr std::size_t kMaxKeyFileBytes = 8192;

[[nodiscard]] std::string base64_text(std::span<const std::uint8_t> bytes);

/// Exactly `bytes` bytes; nothing for any other text.
[[nodiscard]] std::optional<std::vector<std::uint8_t>> base64_bytes(std::string_view text,
                                                                    std::size_t bytes);

/// Line `number`, from 0, without its end; empty after the last.
[[nodiscard]] std::string_view line_of(std::string_view text, std::size_t number);

}  // namespace thirstline
