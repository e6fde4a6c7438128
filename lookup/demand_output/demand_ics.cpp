#include "lookup/demand_output/demand_ics.hpp"

#include <array>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <string_view>
#include <utility>
#include <vector>

#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand_output/month_cells.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/demand_output/watering_calendar.hpp"
#include "lookup/site_output/site_words.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/base/sha256.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

using Day = std::chrono::sys_days;

constexpr std::size_t kMaxOctets = 75;
constexpr std::size_t kUidDigits = 32;
constexpr std::string_view kLineEnd = "\r\n";

// --- Text ----------------------------------------------------------------------------------------

bool continues_character(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
}

/// RFC 5545, section 3.3.11; other control characters are removed.
std::string escaped_text(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '\\' || c == ';' || c == ',') out += '\\';
        if (c == '\n') {
            out += "\\n";
        } else if (static_cast<unsigned char>(c) >= 0x20U && c != 0x7F) {
            out += c;
        }
    }
    return out;
}

std::string digits(int value, std::size_t count) {
    std::string text = std::to_string(value);
    text.insert(0, text.size() < count ? count - text.size() : 0, '0');
    return text;
}

/// "20270503"
std::string date_text(Day day) {
    const std::chrono::year_month_day date(day);
    return digits(static_cast<int>(date.year()), 4) +
           digits(static_cast<int>(static_cast<unsigned>(date.month())), 2) +
           digits(static_cast<int>(static_cast<unsigned>(date.day())), 2);
}

/// "041000", for whole minutes within a day
std::string time_text(int minutes) {
    return digits(minutes / 60, 2) + digits(minutes % 60, 2) + "00";
}

// --- Days ----------------------------------------------------------------------------------------

/// 5 January 1970 was a Monday; patterns of four weeks continue from it without a break.
int slot_of(Day day, const DayPattern& days) {
    if (goes_by_date(days.rule)) {
        const std::chrono::year_month_day date(day);
        return static_cast<int>(static_cast<unsigned>(date.day())) - 1;
    }
    const auto since_monday = (day - Day{std::chrono::days{4}}).count();
    return static_cast<int>((since_monday % kSlotsOfFourWeeks + kSlotsOfFourWeeks) %
                            kSlotsOfFourWeeks);
}

bool is_in_season(Day day, const std::optional<Season>& season) {
    if (!season) return true;
    const std::chrono::year_month_day date(day);
    return contains({season->start, season->stop},
                    {static_cast<int>(static_cast<unsigned>(date.month())),
                     static_cast<int>(static_cast<unsigned>(date.day()))});
}

std::vector<Day> watering_days(const DayPattern& days, const std::optional<Season>& season,
                               int year, std::size_t month) {
    std::vector<Day> out;
    const std::chrono::year_month of_year{std::chrono::year{year},
                                          std::chrono::month{static_cast<unsigned>(month) + 1}};
    const Day last{of_year / std::chrono::last};
    for (Day day{of_year / 1}; day <= last; day += std::chrono::days{1}) {
        if ((days.slots >> slot_of(day, days) & 1U) != 0 && is_in_season(day, season))
            out.push_back(day);
    }
    return out;
}

/// ";BYDAY=MO,WE": the weekdays of the dates.
std::string by_day(const std::vector<Day>& dates) {
    constexpr std::array<std::string_view, kWeekdays> kNames{"MO", "TU", "WE", "TH",
                                                             "FR", "SA", "SU"};
    Weekdays on{};
    for (const Day day : dates) on[std::chrono::weekday(day).iso_encoding() - 1] = true;
    std::string list;
    for (std::size_t d = 0; d < on.size(); ++d)
        if (on[d]) add_word(list, kNames[d], ",");
    return ";BYDAY=" + list;
}

std::string by_month_day(const std::vector<Day>& dates) {
    std::string list;
    for (const Day day : dates)
        add_word(list,
                 std::to_string(static_cast<unsigned>(std::chrono::year_month_day(day).day())),
                 ",");
    return ";BYMONTHDAY=" + list;
}

/// The recurrence rule of the first date; empty for a single date.
std::string repetition(const DayPattern& days, const std::vector<Day>& dates) {
    if (dates.size() < 2) return {};
    const std::string until = ";UNTIL=" + date_text(dates.back()) + "T235959";
    if (goes_by_date(days.rule)) return "FREQ=MONTHLY" + until + by_month_day(dates);
    const int weeks = days.nominal_per_week < 1.0
                          ? static_cast<int>(std::lround(1.0 / days.nominal_per_week))
                          : 1;
    return "FREQ=WEEKLY" + until + (weeks == 1 ? "" : ";INTERVAL=" + std::to_string(weeks)) +
           by_day(dates);
}

// --- Events --------------------------------------------------------------------------------------

/// The settings to enter for a month, one line per zone.
Phrase settings_of_month(const DemandPlan& plan, std::size_t month) {
    std::vector<Phrase> lines;
    for (const ProgramPlan& program : plan.site.programs) {
        lines.push_back({"calendar.percentage"_text,
                         {{"number", std::to_string(program.number)},
                          {"percent", std::to_string(program.percent[month])}}});
    }
    for (const ZonePlan& zone : plan.zones) {
        const ZoneMonth& keyed = zone.months[month];
        if (keyed.cycles_per_day == 0) {
            lines.push_back({"calendar.zone_off"_text, {{"zone", zone.name}}});
            continue;
        }
        lines.push_back({"calendar.zone_runs"_text,
                         {{"zone", zone.name},
                          {"days", keyed.day_names},
                          {"cycles", cycles_phrase(keyed)},
                          {"starts", start_times(keyed.start_minutes)}}});
    }
    return Phrase::joined(std::move(lines), "\n");
}

/// Writes the lines of a calendar.
class CalendarWriter {
  public:
    CalendarWriter(const DemandReport& report, int year, Language language)
        : report_(report), year_(year), style_{.language = language} {}

    [[nodiscard]] std::string whole() {
        line("BEGIN:VCALENDAR");
        line("VERSION:2.0");
        line(style_.language == Language::spanish ? "PRODID:-//Thirstline//Watering plan//ES"
                                                  : "PRODID:-//Thirstline//Watering plan//EN");
        line("CALSCALE:GREGORIAN");
        for (std::size_t m = 0; m < kMonths; ++m) {
            add_settings(m);
            for (const CalendarEntry& entry : calendar_of_month(report_.plan, m)) add(entry, m);
        }
        line("END:VCALENDAR");
        return std::move(out_);
    }

  private:
    void line(const std::string& text) { out_ += folded_calendar_line(text); }

    /// The parts common to all events; the dates follow from `when`.
    void event(const std::vector<std::string>& when, const std::string& summary,
               const std::string& description) {
        Sha256 sum;
        sum.add(name_of_site());
        for (const std::string& text : when) sum.add(text);
        sum.add(summary);
        sum.add(description);
        line("BEGIN:VEVENT");
        line("UID:" + sum.hex_digest().substr(0, kUidDigits));
        line("DTSTAMP:" + digits(year_, 4) + "0101T000000Z");
        for (const std::string& text : when) line(text);
        line("SUMMARY:" + escaped_text(summary));
        line("DESCRIPTION:" + escaped_text(description));
        if (!report_.set.job.address.empty())
            line("LOCATION:" + escaped_text(report_.set.job.address));
        line("TRANSP:TRANSPARENT");
        line("END:VEVENT");
    }

    [[nodiscard]] std::string name_of_site() const {
        return report_.set.job.customer + report_.set.job.address + place_name(report_.site.query);
    }

    void add_settings(std::size_t month) {
        const std::size_t before = (month + kMonths - 1) % kMonths;
        const Phrase settings = settings_of_month(report_.plan, month);
        if (month > 0 && settings == settings_of_month(report_.plan, before)) return;
        const Day first{std::chrono::year{year_} /
                        std::chrono::month{static_cast<unsigned>(month) + 1} / 1};
        event({"DTSTART;VALUE=DATE:" + date_text(first)},
              rendered({"calendar.settings"_text, {{"month", month_in_full(month)}}}, style_),
              rendered(Phrase::joined({settings, "caution.calendar"_text}, "\n"), style_));
    }

    void add(const CalendarEntry& entry, std::size_t month) {
        std::vector<Day> dates = watering_days(entry.days, report_.set.setup.season, year_, month);
        if (dates.empty()) return;
        int start = static_cast<int>(std::floor(entry.runs.front().start_minutes + 1e-6));
        const double minutes = entry.end_minutes - start;
        if (start >= kClockMinutes) {
            start -= kClockMinutes;
            for (Day& day : dates) day += std::chrono::days{1};
        }
        std::vector<std::string> when{"DTSTART:" + date_text(dates.front()) + "T" +
                                      time_text(start)};
        when.push_back("DURATION:PT" + std::to_string(static_cast<int>(std::ceil(minutes - 1e-6))) +
                       "M");
        if (const std::string rule = repetition(entry.days, dates); !rule.empty())
            when.push_back("RRULE:" + rule);
        std::string zones;
        std::string runs;
        for (const CalendarRun& run : entry.runs) {
            const std::string& name = report_.plan.zones[run.zone].name;
            if (!names_zone(zones, name)) add_word(zones, name);
            runs += (runs.empty() ? "" : "\n") + clock_text(run.start_minutes) + " " + name + " " +
                    run_length(run.minutes);
        }
        event(when, rendered({"calendar.watering"_text, {{"zones", zones}}}, style_), runs);
    }

    static bool names_zone(const std::string& list, const std::string& name) {
        return (", " + list + ", ").find(", " + name + ", ") != std::string::npos;
    }

    const DemandReport& report_;
    int year_;
    TextStyle style_;
    std::string out_;
};

}  // namespace

std::string folded_calendar_line(const std::string& line) {
    std::string out;
    std::size_t octets = 0;
    for (std::size_t at = 0; at < line.size();) {
        std::size_t end = at + 1;
        while (end < line.size() && continues_character(line[end])) ++end;
        if (octets + (end - at) > kMaxOctets) {
            out += kLineEnd;
            out += ' ';
            octets = 1;
        }
        out += line.substr(at, end - at);
        octets += end - at;
        at = end;
    }
    out += kLineEnd;
    return out;
}

std::string demand_ics(const DemandReport& report, int year, Language language) {
    return CalendarWriter(report, year, language).whole();
}

}  // namespace thirstline
