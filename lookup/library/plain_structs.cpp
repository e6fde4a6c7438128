#include "lookup/library/plain_structs.hpp"

#include <algorithm>

#include "schema/text/utf8_text.hpp"

namespace thirstline {

std::size_t copy_utf8(char* to, std::size_t room, std::string_view text) {
    std::size_t used = 0;
    bool fits = true;
    for_each_character(text, [&](char32_t, std::string_view bytes) {
        fits = fits && bytes.size() <= room - used;
        if (!fits) return;
        std::ranges::copy(bytes, to + used);
        used += bytes.size();
    });
    return used;
}

}  // namespace thirstline
