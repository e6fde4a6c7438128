#include "lookup/library/plain_structs.hpp"

namespace thirstline {

std::string_view fitting(std::string_view text, std::size_t bytes) {
    if (text.size() <= bytes) return text;
    const auto continues = [&text](std::size_t at) {
        return (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U;
    };
    while (bytes > 0 && continues(bytes)) --bytes;
    return text.substr(0, bytes);
}

}  // namespace thirstline
