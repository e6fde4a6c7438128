// Each month's settings by clock time: watering days, valves, start times and run times.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "lookup/demand/plan.hpp"
#include "lookup/site_output/site_text.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// One cycle of one zone.
struct CalendarRun {
    double start_minutes = 0.0;  ///< after midnight of the watering day; 1440 and more: the next
    double minutes = 0.0;
    std::size_t zone = 0;  ///< index in the plan
};

/// The zones of a month that are watered on the same days.
struct CalendarEntry {
    DayPattern days;
    Phrase day_names;
    std::vector<CalendarRun> runs;  ///< in order of start time, at least one
    double end_minutes = 0.0;       ///< closing of the last valve, counted like start_minutes
};

/// For the month-by-month settings; month index 0 to 11. Empty if nothing is watered.
[[nodiscard]] std::vector<CalendarEntry> calendar_of_month(const DemandPlan& plan,
                                                           std::size_t month);

/// "03:05 and 04:21"; empty without starts.
[[nodiscard]] Phrase start_times(const std::vector<double>& start_minutes);

/// "north lawn 2 × 10 min at 03:05 and 04:31; meadow 59 min at 03:15"
[[nodiscard]] Phrase runs_phrase(const CalendarEntry& entry, const DemandPlan& plan);

/// The calendar in lines, one for each month and its days: "Jul, Mon, Wed, Fri: …". Consecutive
/// months with the same settings share a line: "Jul to Aug, …".
[[nodiscard]] std::vector<std::string> calendar_lines(const DemandPlan& plan,
                                                      const TextStyle& style);

/// The same with one paragraph for each range of months: "Jul and Aug – Mon, Wed, Fri: …. Tue: …."
[[nodiscard]] std::vector<std::string> calendar_of_months(const DemandPlan& plan,
                                                          const TextStyle& style);

/// Months in which a program, set by percentage, has other days or start times than in its base
/// schedule: "Program 1 in Dec: Mon."
[[nodiscard]] std::vector<Phrase> changed_program_sentences(const DemandPlan& plan);

}  // namespace thirstline
