// A calendar day in the standard library's types.
#pragma once

#include <chrono>

#include "lookup/demand/zone.hpp"

namespace thirstline {

/// Not `ok()` if the day does not exist; month and day must not be negative.
[[nodiscard]] constexpr std::chrono::year_month_day date_of(const CalendarDay& day) {
    return std::chrono::year{day.year} / static_cast<unsigned>(day.month) /
           static_cast<unsigned>(day.day);
}

}  // namespace thirstline
