// A plan's month-by-month settings as a calendar file (RFC 5545), for one year.
//
// An event for each month and set of days, repeated on its watering days within the season, from
// the first valve's opening to the last one's closing; and, on the first day of each month whose
// settings differ from those of the month before, an all-day event with what to key in. Times are
// local ("floating"). The same plan and year give the same bytes.
#pragma once

#include <string>

#include "lookup/demand_output/demand_report.hpp"

namespace thirstline {

/// `year`: 1900 to 2200.
[[nodiscard]] std::string demand_ics(const DemandReport& report, int year);

/// A line of a calendar file: folded after at most 75 octets, never within a character, with its
/// line end.
[[nodiscard]] std::string folded_calendar_line(const std::string& line);

}  // namespace thirstline
