// The plain structs of the C interface: versions of different sizes, and texts in arrays.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstring>
#include <string_view>

namespace thirstline {

/// The longest beginning of `text` that fits into `bytes` without cutting a UTF-8 character.
[[nodiscard]] std::string_view fitting(std::string_view text, std::size_t bytes);

/// Copies `text`, truncated if necessary, and adds a zero byte.
template <std::size_t kBytes>
void copy_text(char (&array)[kBytes], std::string_view text) {
    const std::string_view whole = fitting(text, kBytes - 1);
    std::fill(std::copy(whole.begin(), whole.end(), array), array + kBytes, '\0');
}

/// Writes `ours` into a caller's struct of that size, which may be of another version: members that
/// do not fit are dropped, members that we do not know become 0.
template <class Struct>
void copy_struct(void* theirs, std::size_t their_size, Struct ours) {
    ours.struct_size = their_size;
    const std::size_t common = std::min(their_size, sizeof ours);
    std::memcpy(theirs, &ours, common);
    std::memset(static_cast<char*>(theirs) + common, 0, their_size - common);
}

}  // namespace thirstline
