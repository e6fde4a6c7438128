#include "builder/stations/record_signs.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numeric>
#include <utility>

#include "builder/grids/year_range.hpp"
#include "builder/inputs/table_fields.hpp"
#include "schema/base/words.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

constexpr int kRowsLookedAt = 10;
constexpr int kFilesLookedAt = 10;
constexpr std::size_t kMaxNumbers = 8;

// As folded_name has them.
constexpr std::array<std::string_view, 7> kYearNames{"year", "yr",    "yyyy", "jahr",
                                                     "ano",  "annee", "año"};
constexpr std::array<std::string_view, 6> kDayNames{"day", "dy", "dd", "dom", "jour", "tag"};
constexpr std::array<std::string_view, 3> kDayOfYearNames{"doy", "yday", "dayofyear"};
constexpr std::array<std::string_view, 5> kHourNames{"hour", "hr", "hh", "hrmn", "stunde"};
constexpr std::array<std::string_view, 4> kPartsOfDateNames{"date", "fecha", "datum", "yyyymm"};

template <std::size_t N>
bool is_among(const std::array<std::string_view, N>& names, std::string_view name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

bool is_date_name(const std::string& name) {
    return name == "yearmonthday" ||
           std::any_of(kPartsOfDateNames.begin(), kPartsOfDateNames.end(),
                       [&](std::string_view part) { return name.find(part) != std::string::npos; });
}

/// "Time (HH:MM)", "LST_TIME"
bool is_hour_name(const std::string& name) {
    return is_among(kHourNames, name) || name.starts_with("time") || name.ends_with("time");
}

struct Digits {
    std::int64_t value = 0;
    std::size_t count = 0;
};

/// The numbers of a date, with the character after each.
struct DateNumbers {
    std::vector<Digits> numbers;
    std::string marks;
};

/// Empty for text that a date cannot have.
DateNumbers date_numbers(std::string_view text) {
    DateNumbers date;
    while (!text.empty()) {
        const std::size_t count = std::min(text.find_first_not_of("0123456789"), text.size());
        Digits digits{0, count};
        const auto parsed = std::from_chars(text.data(), text.data() + count, digits.value);
        if (parsed.ec != std::errc{} || date.numbers.size() == kMaxNumbers) return {};
        date.numbers.push_back(digits);
        text.remove_prefix(count);
        if (text.empty()) break;
        if (std::string_view("-/.:T Z").find(text.front()) == std::string_view::npos) return {};
        date.marks += text.front();
        text.remove_prefix(1);
    }
    return date;
}

bool is_year(Digits digits) {
    return digits.count == 4 && digits.value >= kFirstYear && digits.value <= kLastYear;
}
bool is_month_or_day(Digits digits, int greatest) {
    return digits.count >= 1 && digits.count <= 2 && digits.value >= 1 && digits.value <= greatest;
}

/// 202106, 20210601, 2021060100
TimeStep step_of_digits(Digits digits, std::string_view text) {
    const auto part = [&](std::size_t at, std::size_t count) {
        Digits found{0, count};
        std::from_chars(text.data() + at, text.data() + at + count, found.value);
        return found;
    };
    const bool has_month =
        digits.count >= 6 && is_year(part(0, 4)) && is_month_or_day(part(4, 2), 12);
    if (!has_month) return TimeStep::none;
    if (digits.count == 6) return TimeStep::months;
    if (digits.count < 8 || digits.count > 12 || !is_month_or_day(part(6, 2), 31))
        return TimeStep::none;
    return digits.count == 8 ? TimeStep::days : TimeStep::hours;
}

/// A whole number, also one that is written "1980.0".
Digits digits_in(const std::string& field) {
    const auto number = number_in_field(field);
    if (!number || *number < 0 || *number > kLastYear || *number != std::floor(*number))
        return {-1, 0};
    return {static_cast<std::int64_t>(*number), std::min(field.find('.'), field.size())};
}

/// "0100", "24", "13:00"
bool is_hour(const std::string& field) {
    const DateNumbers date = date_numbers(field);
    if (date.numbers.empty() || date.numbers.size() > 3) return false;
    const Digits first = date.numbers.front();
    if (date.numbers.size() > 1) return date.marks.front() == ':' && first.value <= 24;
    return first.count == 4 ? first.value <= 2400 : first.value <= 24;
}

std::string words_of(TimeStep step) {
    switch (step) {
        case TimeStep::months:
            return "months of single years";
        case TimeStep::days:
            return "days";
        case TimeStep::hours:
            return "hours";
        default:
            return "years";
    }
}

}  // namespace

StatedTime stated_time(std::string_view text) {
    const auto [numbers, marks] = date_numbers(text);
    if (numbers.empty()) return {};
    if (numbers.size() == 1) {
        const TimeStep step = step_of_digits(numbers.front(), text);
        return {step, step != TimeStep::none};
    }
    const TimeStep of_date = numbers.size() > 3 ? TimeStep::hours : TimeStep::days;
    if (is_year(numbers[0]) && is_month_or_day(numbers[1], 12)) {
        if (numbers.size() == 2) return {TimeStep::months, true};
        return is_month_or_day(numbers[2], 31) ? StatedTime{of_date, true} : StatedTime{};
    }
    const bool begins_with_month_and_day =
        marks.front() != ':' && is_month_or_day(numbers[0], 31) && is_month_or_day(numbers[1], 31);
    if (!begins_with_month_and_day) return {};
    if (numbers.size() >= 3 && is_year(numbers[2])) return {of_date, true};
    if (marks.front() != '-') return {};
    if (numbers.size() == 2) return {TimeStep::days, false};
    return marks[1] == 'T' ? StatedTime{TimeStep::hours, false} : StatedTime{};
}

RecordSigns::RecordSigns(std::string month_column) : month_column_(std::move(month_column)) {}

void RecordSigns::begin_file(const HeaderNames& header) {
    for (auto* columns : {&dates_, &years_, &days_, &hours_}) columns->clear();
    rows_seen_ = step() == TimeStep::none ? 0 : kRowsLookedAt;
    if (files_seen_++ >= kFilesLookedAt) {
        rows_seen_ = kRowsLookedAt;
        return;
    }
    for (std::size_t i = 0; i < header.names().size(); ++i) {
        const std::string& name = header.names()[i];
        const std::string folded = folded_name(name);
        const Column column{name, static_cast<int>(i)};
        if (name == month_column_ || is_date_name(folded)) dates_.push_back(column);
        if (is_among(kYearNames, folded)) years_.push_back(column);
        if (is_among(kDayNames, folded) || is_among(kDayOfYearNames, folded))
            days_.push_back(column);
        if (is_hour_name(folded)) hours_.push_back(column);
    }
}

RecordSigns::Found RecordSigns::found_in(const CsvRow& row, const TextRecoder& recoder) const {
    Found found;
    std::vector<std::string> values;
    const auto add = [&](StatedTime time, const Column& column, const std::string& text) {
        if (time.step <= found.time.step) return;
        found.time = {time.step, time.has_year || found.time.has_year};
        values.push_back(in_quotes(column.name) + " is " + text.substr(0, 40));
    };
    for (const Column& date : dates_) {
        const std::string text = text_in(row, date.index, recoder);
        add(stated_time(text), date, text);
    }
    for (const Column& year : years_) {
        const std::string text = text_in(row, year.index, recoder);
        const Digits digits = digits_in(text);
        if (is_year(digits) || (digits.count == 2 && !days_.empty()))
            add({month_column_.empty() ? TimeStep::years : TimeStep::months, true}, year, text);
    }
    const bool has_date = found.time.step != TimeStep::none;
    for (const Column& day : days_) {
        const std::string text = text_in(row, day.index, recoder);
        const Digits digits = digits_in(text);
        // 99 is in NCEI's tables of monthly normals.
        const int greatest = is_among(kDayOfYearNames, folded_name(day.name)) ? 366 : 31;
        if (has_date && digits.value >= 1 && digits.value <= greatest)
            add({TimeStep::days, false}, day, text);
    }
    for (const Column& hour : hours_) {
        const std::string text = text_in(row, hour.index, recoder);
        if (found.time.step == TimeStep::days && is_hour(text))
            add({TimeStep::hours, false}, hour, text);
    }
    found.values = joined_with_and(values);
    return found;
}

std::string RecordSigns::year_beside(const CsvRow& row, const std::vector<double>& months,
                                     const TextRecoder& recoder) const {
    constexpr double kRounding = 0.02;  // of sums of rounded months
    const double sum = std::accumulate(months.begin(), months.end(), 0.0);
    const double mean = months.empty() ? 0.0 : sum / static_cast<double>(months.size());
    for (const Column& column : years_) {
        std::string text = text_in(row, column.index, recoder);
        const Digits digits = digits_in(text);
        const auto year = static_cast<double>(digits.value);
        const bool is_of_the_months =
            std::abs(year - sum) < kRounding * year || std::abs(year - mean) < kRounding * year;
        if (is_year(digits) && !is_of_the_months) return text;
    }
    return {};
}

bool RecordSigns::looks() const {
    return rows_seen_ < kRowsLookedAt;
}

void RecordSigns::note(const CsvRow& row, const TextRecoder& recoder) {
    if (!looks()) return;
    ++rows_seen_;
    Found found = found_in(row, recoder);
    if (found.time.step == TimeStep::none) return;
    found_ = std::move(found);
    rows_seen_ = kRowsLookedAt;
}

std::string RecordSigns::what_it_is() const {
    const std::string values = found_.values.empty() ? "" : " (" + found_.values + ")";
    const bool is_of_a_year = step() >= TimeStep::days && !found_.time.has_year;
    return (is_of_a_year ? "a table of the " + words_of(step()) + " of the year, not of months"
                         : "a record of " + words_of(step()) + ", not a table of normals") +
           values;
}

std::string RecordSigns::what_to_do() const {
    if (found_.time.has_year && step() >= TimeStep::months)
        return "name it in a [[records]] table with step = \"" +
               std::string(step() == TimeStep::hours  ? "hour"
                           : step() == TimeStep::days ? "day"
                                                      : "month") +
               "\", from which the builder calculates its normals";
    return "calculate its normals first, one mean over the years for each station and calendar "
           "month";
}

Error RecordSigns::error(const std::string& where, const std::string& table) const {
    return {ErrorCode::bad_input, where + ": " + table + " is " + what_it_is(), what_to_do()};
}

std::string RecordSigns::suspicion() const {
    if (step() == TimeStep::none) return {};
    return "it looks like " + what_it_is() + ": " + what_to_do();
}

}  // namespace thirstline
