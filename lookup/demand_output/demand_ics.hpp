// A plan's month-by-month settings as a calendar file (RFC 5545), for one year.
//
// One event for each month and set of days, repeated on its watering days within the season, from
// the opening of the first valve to the closing of the last. On the first day of each month with
// settings that differ from the month before, there is also an all-day event with the settings to
// enter. Times are local ("floating"). The same plan and year give the same bytes.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"

namespace thirstline {

/// `year`: 1900 to 2200.
[[nodiscard]] std::string demand_ics(const DemandReport& report, int year,
                                     Language language = Language::english);

/// A line of a calendar file, with its line end: folded after at most 75 octets, never within a
/// character.
[[nodiscard]] std::string folded_calendar_line(const std::string& line);

}  // namespace thirstline
