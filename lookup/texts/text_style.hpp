// How a reader reads: units, language and characters.
#pragma once

#include <cstdint>
#include <string_view>

namespace thirstline {

enum class UnitSystem { metric, us };

enum class Language : std::uint8_t { english, spanish };

/// "es" is Spanish, any other word English.
[[nodiscard]] constexpr Language language_named(std::string_view word) {
    return word == "es" ? Language::spanish : Language::english;
}

struct TextStyle {
    UnitSystem units = UnitSystem::metric;
    bool utf8 = true;  ///< block characters and the plus-minus sign; else ASCII
    Language language = Language::english;  ///< of a plan; the other answers are in English
};

}  // namespace thirstline
