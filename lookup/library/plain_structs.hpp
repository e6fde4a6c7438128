// The plain structs of the C interface: versions of different sizes, and texts in arrays.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstring>
#include <string_view>

namespace thirstline {

/// Copies whole characters as far as they fit; U+FFFD in place of bytes that are not UTF-8, which a
/// damaged file can have. Returns the number of bytes. Allocates nothing.
std::size_t copy_utf8(char* to, std::size_t room, std::string_view text);

/// Copies `text`, truncated if necessary, and adds a zero byte.
template <std::size_t kBytes>
void copy_text(char (&array)[kBytes], std::string_view text) {
    const std::size_t used = copy_utf8(array, kBytes - 1, text);
    std::fill(array + used, array + kBytes, '\0');
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
