// Texts of watering rules: hours of the day, and days by house number.
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "lookup/demand/local_rules.hpp"

namespace thirstline {

/// "22:00", 00:00 to 24:00; nothing for any other text.
[[nodiscard]] std::optional<ClockTime> read_clock_time(std::string_view text);

/// "10:00-18:00; Sat, Sun 08:00-20:00": hours without watering, each on the weekdays named before
/// it or on every day; "22:00-04:00" ends on the next day. Nothing for any other text.
[[nodiscard]] std::optional<std::vector<BarredSpan>> read_barred_hours(std::string_view text);

/// Weekdays for house numbers by their last digit.
struct AddressDays {
    std::array<bool, 10> last_digits{};
    Weekdays weekdays{};
};

/// "odd: Wed, Sat; even: Thu, Sun" or "0-4: Mon; 5, 6, 7, 8, 9: Tue". Nothing for any other text or
/// if a digit is repeated.
[[nodiscard]] std::optional<std::vector<AddressDays>> read_address_days(std::string_view text);

}  // namespace thirstline
