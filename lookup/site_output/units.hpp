// The units in which people read an answer, and defaults for units and character set from the
// locale.
#pragma once

#include <optional>
#include <string_view>

#include "lookup/texts/text_style.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

/// "us" or "metric"; nothing for any other word.
[[nodiscard]] std::optional<UnitSystem> unit_system_named(std::string_view name);

/// By the territory of LC_ALL, else LC_MEASUREMENT, else LANG: inches for US, LR and MM,
/// millimetres for all others (also C and POSIX).
[[nodiscard]] UnitSystem unit_system_of_locale(const Environment& environment);

/// By the character set of LC_ALL, else LC_CTYPE, else LANG.
[[nodiscard]] bool locale_is_utf8(const Environment& environment);

[[nodiscard]] constexpr double inches(double mm) {
    return mm / 25.4;
}
[[nodiscard]] constexpr double fahrenheit(double celsius) {
    return celsius * 9.0 / 5.0 + 32.0;
}
[[nodiscard]] constexpr double feet(double m) {
    return m / 0.3048;
}
[[nodiscard]] constexpr double miles(double km) {
    return km / 1.609344;
}

}  // namespace thirstline
