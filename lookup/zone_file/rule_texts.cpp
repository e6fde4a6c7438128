#include "lookup/zone_file/rule_texts.hpp"

#include <algorithm>
#include <cstddef>

namespace thirstline {
namespace {

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    return text;
}

std::vector<std::string_view> parts_of(std::string_view text, char by) {
    std::vector<std::string_view> parts;
    for (std::size_t at = 0; at <= text.size();) {
        const std::size_t end = std::min(text.find(by, at), text.size());
        parts.push_back(trimmed(text.substr(at, end - at)));
        at = end + 1;
    }
    return parts;
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

std::optional<Weekdays> weekdays_of(std::string_view text) {
    Weekdays days{};
    for (const std::string_view name : parts_of(text, ',')) {
        const auto day =
            std::find(kWeekdayAbbreviations.begin(), kWeekdayAbbreviations.end(), name);
        if (day == kWeekdayAbbreviations.end()) return std::nullopt;
        days[static_cast<std::size_t>(day - kWeekdayAbbreviations.begin())] = true;
    }
    return days;
}

Weekdays next_day_of(const Weekdays& days) {
    Weekdays next = days;
    std::rotate(next.begin(), next.end() - 1, next.end());
    return next;
}

/// Adds the one or two spans of "Sat, Sun 08:00-20:00"; false for any other text.
bool add_span(std::vector<BarredSpan>& spans, std::string_view text) {
    const std::size_t dash = text.rfind('-');
    if (dash == std::string_view::npos) return false;
    const std::string_view before = trimmed(text.substr(0, dash));
    const std::size_t blank = before.rfind(' ');
    const bool names_days = blank != std::string_view::npos;
    const auto from = read_clock_time(names_days ? before.substr(blank + 1) : before);
    const auto to = read_clock_time(trimmed(text.substr(dash + 1)));
    const auto days =
        names_days ? weekdays_of(trimmed(before.substr(0, blank))) : std::optional(kEveryDay);
    if (!from || !to || !days || from->minutes == to->minutes) return false;
    if (from->minutes < to->minutes) {
        spans.push_back({*days, from->minutes, to->minutes});
        return true;
    }
    if (from->minutes < kClockMinutes) spans.push_back({*days, from->minutes, kClockMinutes});
    if (to->minutes > 0) spans.push_back({next_day_of(*days), 0, to->minutes});
    return true;
}

/// "odd", "even", "0-4" or "0, 3, 5"
std::optional<std::array<bool, 10>> digits_of(std::string_view text) {
    std::array<bool, 10> digits{};
    if (text == "odd" || text == "even") {
        for (std::size_t d = text == "odd" ? 1 : 0; d < digits.size(); d += 2) digits[d] = true;
        return digits;
    }
    for (const std::string_view part : parts_of(text, ',')) {
        const bool is_range = part.size() == 3 && part[1] == '-';
        if ((part.size() != 1 && !is_range) || !is_digit(part.front()) || !is_digit(part.back()))
            return std::nullopt;
        for (char c = part.front(); c <= part.back(); ++c)
            digits[static_cast<std::size_t>(c - '0')] = true;
        if (part.front() > part.back()) return std::nullopt;
    }
    return digits;
}

}  // namespace

std::optional<ClockTime> read_clock_time(std::string_view text) {
    if (text.size() != 5 || text[2] != ':') return std::nullopt;
    for (const std::size_t at : {0U, 1U, 3U, 4U})
        if (!is_digit(text[at])) return std::nullopt;
    const int hours = (text[0] - '0') * 10 + (text[1] - '0');
    const int minutes = (text[3] - '0') * 10 + (text[4] - '0');
    const int of_day = hours * 60 + minutes;
    if (minutes > 59 || of_day > kClockMinutes) return std::nullopt;
    return ClockTime{of_day};
}

std::optional<std::vector<BarredSpan>> read_barred_hours(std::string_view text) {
    std::vector<BarredSpan> spans;
    for (const std::string_view part : parts_of(text, ';'))
        if (!add_span(spans, part)) return std::nullopt;
    return spans;
}

std::optional<std::vector<AddressDays>> read_address_days(std::string_view text) {
    std::vector<AddressDays> all;
    std::array<bool, 10> known{};
    for (const std::string_view part : parts_of(text, ';')) {
        const std::size_t colon = part.find(':');
        if (colon == std::string_view::npos) return std::nullopt;
        const auto digits = digits_of(trimmed(part.substr(0, colon)));
        const auto days = weekdays_of(trimmed(part.substr(colon + 1)));
        if (!digits || !days) return std::nullopt;
        for (std::size_t d = 0; d < known.size(); ++d) {
            if ((*digits)[d] && known[d]) return std::nullopt;
            known[d] = known[d] || (*digits)[d];
        }
        all.push_back({*digits, *days});
    }
    return all;
}

}  // namespace thirstline
