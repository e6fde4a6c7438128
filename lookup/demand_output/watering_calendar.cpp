#include "lookup/demand_output/watering_calendar.hpp"

#include <algorithm>
#include <utility>

#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "schema/base/calendar.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {
namespace {

bool has_same_days(const DayPattern& a, const DayPattern& b) {
    return a.slots == b.slots && goes_by_date(a.rule) == goes_by_date(b.rule);
}

/// "Jul", "Jul to Sep"
Phrase months_of_range(std::size_t first, std::size_t last) {
    if (last == first) return month_in_list(first);
    return {last == first + 1 ? "months.two"_text : "months.range"_text,
            {{"first", month_in_list(first)}, {"last", month_in_list(last)}}};
}

std::vector<Phrase> lines_of_month(const DemandPlan& plan, std::size_t month) {
    std::vector<Phrase> lines;
    for (const CalendarEntry& entry : calendar_of_month(plan, month)) {
        lines.push_back({"calendar.days"_text,
                         {{"days", entry.day_names},
                          {"runs", runs_phrase(entry, plan)},
                          {"end", clock_text(entry.end_minutes)}}});
    }
    if (lines.empty()) lines.emplace_back("calendar.none"_text);
    return lines;
}

/// Months, by name, in which `setting_of` gives the same setting, different from `usual`, with the
/// sentence for them.
template <class SettingOf, class Sentence>
void add_changes(std::vector<Phrase>& out, const Phrase& usual, SettingOf setting_of,
                 Sentence sentence) {
    std::vector<Phrase> known_settings;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const Phrase setting = setting_of(m);
        const bool is_known = std::find(known_settings.begin(), known_settings.end(), setting) !=
                              known_settings.end();
        if (setting.empty() || setting == usual || is_known) continue;
        known_settings.push_back(setting);
        const Phrase months =
            months_phrase([&](std::size_t other) { return setting_of(other) == setting; });
        out.push_back(sentence(months, setting));
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

Phrase start_times(const std::vector<double>& start_minutes) {
    std::vector<Phrase> times;
    for (const double start : start_minutes) times.emplace_back(clock_text(start));
    return Phrase::joined_with_and(std::move(times));
}

Phrase runs_phrase(const CalendarEntry& entry, const DemandPlan& plan) {
    std::vector<std::size_t> known_zones;
    std::vector<Phrase> out;
    for (const CalendarRun& run : entry.runs) {
        if (std::find(known_zones.begin(), known_zones.end(), run.zone) != known_zones.end())
            continue;
        known_zones.push_back(run.zone);
        std::vector<double> starts;
        for (const CalendarRun& other : entry.runs)
            if (other.zone == run.zone) starts.push_back(other.start_minutes);
        const Argument zone{"zone", plan.zones[run.zone].name};
        const Argument minutes{"minutes", run_length(run.minutes)};
        const Argument at{"starts", start_times(starts)};
        if (starts.size() == 1) {
            out.push_back({"calendar.run"_text, {zone, minutes, at}});
        } else {
            out.push_back({"calendar.runs"_text,
                           {zone, {"count", std::to_string(starts.size())}, minutes, at}});
        }
    }
    return Phrase::joined(std::move(out), "; ");
}

namespace {

/// Calls `add` with each range of months of the same settings, and its lines.
template <class Add>
void for_each_range(const DemandPlan& plan, Add add) {
    for (std::size_t first = 0; first < kMonths;) {
        const std::vector<Phrase> lines = lines_of_month(plan, first);
        std::size_t last = first;
        while (last + 1 < kMonths && lines_of_month(plan, last + 1) == lines) ++last;
        add(months_of_range(first, last), lines);
        first = last + 1;
    }
}

}  // namespace

std::vector<std::string> calendar_lines(const DemandPlan& plan, const TextStyle& style) {
    std::vector<std::string> out;
    for_each_range(plan, [&](const Phrase& months, const std::vector<Phrase>& lines) {
        for (const Phrase& line : lines) {
            out.push_back(
                rendered({"calendar.line"_text, {{"months", months}, {"watering", line}}}, style));
        }
    });
    return out;
}

std::vector<std::string> calendar_of_months(const DemandPlan& plan, const TextStyle& style) {
    std::vector<std::string> out;
    for_each_range(plan, [&](const Phrase& months, const std::vector<Phrase>& lines) {
        std::string watering;
        for (const Phrase& line : lines)
            watering += (watering.empty() ? "" : " ") + capitalised(rendered(line, style));
        out.push_back(capitalised(rendered(
            {"calendar.month"_text, {{"months", months}, {"watering", watering}}}, style)));
    });
    return out;
}

std::vector<Phrase> changed_program_sentences(const DemandPlan& plan) {
    std::vector<Phrase> out;
    for (const ProgramPlan& program : plan.site.programs) {
        add_changes(
            out, program.day_names, [&](std::size_t m) { return program.day_names_of[m]; },
            [&](const Phrase& months, const Phrase& days) {
                return Phrase("program.changed_days"_text,
                              {{"number", std::to_string(program.number)},
                               {"months", months},
                               {"days", days}});
            });
    }
    for (const ZonePlan& zone : plan.zones) {
        add_changes(
            out, start_times(zone.base_run.start_minutes),
            [&](std::size_t m) { return start_times(zone.months[m].by_percentage.start_minutes); },
            [&](const Phrase& months, const Phrase& times) {
                return Phrase("program.changed_starts"_text,
                              {{"zone", zone.name}, {"months", months}, {"times", times}});
            });
    }
    return out;
}

}  // namespace thirstline
