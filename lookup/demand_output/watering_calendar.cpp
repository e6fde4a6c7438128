#include "lookup/demand_output/watering_calendar.hpp"

#include <algorithm>

#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/words.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {
namespace {

bool has_same_days(const DayPattern& a, const DayPattern& b) {
    return a.slots == b.slots && goes_by_date(a.rule) == goes_by_date(b.rule);
}

/// "Jul", "Jul to Sep"
std::string months_text(std::size_t first, std::size_t last) {
    std::string out(kMonthAbbreviations[first]);
    if (last > first)
        out += (last == first + 1 ? " and " : " to ") + std::string(kMonthAbbreviations[last]);
    return out;
}

std::vector<std::string> lines_of_month(const DemandPlan& plan, std::size_t month) {
    std::vector<std::string> lines;
    for (const CalendarEntry& entry : calendar_of_month(plan, month))
        lines.push_back(entry.day_names + ": " + runs_text(entry, plan) + ".");
    if (lines.empty()) lines.emplace_back("no watering.");
    return lines;
}

/// Months, by name, in which `text_of` gives the same text, different from `usual`.
template <class TextOf>
void add_changes(std::vector<std::string>& out, const std::string& subject,
                 const std::string& usual, TextOf text_of) {
    std::vector<std::string> known_texts;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const std::string text = text_of(m);
        const bool is_known =
            std::find(known_texts.begin(), known_texts.end(), text) != known_texts.end();
        if (text.empty() || text == usual || is_known) continue;
        known_texts.push_back(text);
        out.push_back(subject + " in " +
                      months_where([&](std::size_t other) { return text_of(other) == text; }) +
                      ": " + text + ".");
    }
}

}  // namespace

std::vector<CalendarEntry> calendar_of_month(const DemandPlan& plan, std::size_t month) {
    std::vector<CalendarEntry> entries;
    for (std::size_t z = 0; z < plan.zones.size(); ++z) {
        const ZoneMonth& zone = plan.zones[z].months[month];
        if (zone.cycles_per_day == 0) continue;
        auto entry = std::find_if(entries.begin(), entries.end(), [&](const CalendarEntry& other) {
            return has_same_days(other.days, zone.days);
        });
        if (entry == entries.end())
            entry = entries.insert(entries.end(), {zone.days, zone.day_names, {}, 0.0});
        for (const double start : zone.start_minutes) {
            entry->runs.push_back({start, zone.minutes_per_cycle, z});
            entry->end_minutes = std::max(entry->end_minutes, start + zone.minutes_per_cycle);
        }
    }
    for (CalendarEntry& entry : entries) {
        std::stable_sort(entry.runs.begin(), entry.runs.end(),
                         [](const CalendarRun& a, const CalendarRun& b) {
                             return a.start_minutes < b.start_minutes;
                         });
    }
    return entries;
}

std::string start_times_text(const std::vector<double>& start_minutes) {
    std::vector<std::string> times;
    for (const double start : start_minutes) times.push_back(clock_text(start));
    return joined_with_and(times);
}

std::string runs_text(const CalendarEntry& entry, const DemandPlan& plan) {
    std::vector<std::size_t> known_zones;
    std::string out;
    for (const CalendarRun& run : entry.runs) {
        if (std::find(known_zones.begin(), known_zones.end(), run.zone) != known_zones.end())
            continue;
        known_zones.push_back(run.zone);
        std::vector<double> starts;
        for (const CalendarRun& other : entry.runs)
            if (other.zone == run.zone) starts.push_back(other.start_minutes);
        const std::string times = starts.size() == 1 ? "" : std::to_string(starts.size()) + " × ";
        add_word(out,
                 plan.zones[run.zone].name + " " + times + run_length(run.minutes) + " at " +
                     start_times_text(starts),
                 "; ");
    }
    return out + "; ends " + clock_text(entry.end_minutes);
}

std::vector<std::string> calendar_lines(const DemandPlan& plan) {
    std::vector<std::string> out;
    for (std::size_t first = 0; first < kMonths;) {
        const std::vector<std::string> lines = lines_of_month(plan, first);
        std::size_t last = first;
        while (last + 1 < kMonths && lines_of_month(plan, last + 1) == lines) ++last;
        for (const std::string& line : lines) out.push_back(months_text(first, last) + ", " + line);
        first = last + 1;
    }
    return out;
}

std::vector<std::string> changed_program_sentences(const DemandPlan& plan) {
    std::vector<std::string> out;
    for (const ProgramPlan& program : plan.site.programs) {
        add_changes(out, "Program " + std::to_string(program.number) + " days", program.day_names,
                    [&](std::size_t m) { return program.day_names_of[m]; });
    }
    for (const ZonePlan& zone : plan.zones) {
        add_changes(out, zone.name + " start times", start_times_text(zone.base_run.start_minutes),
                    [&](std::size_t m) {
                        return start_times_text(zone.months[m].by_percentage.start_minutes);
                    });
    }
    return out;
}

}  // namespace thirstline
