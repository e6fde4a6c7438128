#include "builder/stations/record_dates.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <vector>

#include "builder/inputs/table_fields.hpp"
#include "schema/base/calendar.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

using Date = tl::expected<RecordDay, std::string>;

Date unreadable() {
    return tl::unexpected<std::string>("date cannot be read");
}
Date no_such_day() {
    return tl::unexpected<std::string>("no such day");
}

struct DateParts {
    std::array<int, 3> numbers{};
    std::array<std::size_t, 3> digits{};
    std::size_t count = 0;
    std::string_view rest;
};

/// Up to three numbers with the same mark between them.
std::optional<DateParts> parts_of(std::string_view text) {
    DateParts parts;
    char mark = '\0';
    while (parts.count < parts.numbers.size()) {
        const char* end = text.data() + text.size();
        int& number = parts.numbers[parts.count];
        const auto [stop, error] = std::from_chars(text.data(), end, number);
        if (error != std::errc{} || number < 0) return std::nullopt;
        parts.digits[parts.count] = static_cast<std::size_t>(stop - text.data());
        ++parts.count;
        text.remove_prefix(static_cast<std::size_t>(stop - text.data()));
        const bool has_mark =
            !text.empty() && std::string_view("-/.").find(text[0]) != std::string_view::npos;
        if (!has_mark || parts.count == parts.numbers.size()) break;
        if (mark != '\0' && text[0] != mark) return std::nullopt;
        mark = text[0];
        text.remove_prefix(1);
    }
    parts.rest = text;
    return parts;
}

/// Nothing, or a time of midnight: "T00:00:00Z", " 00:00", " 0:00".
bool is_midnight(std::string_view rest) {
    if (rest.empty()) return true;
    if (rest[0] != 'T' && rest[0] != ' ') return false;
    return rest.substr(1).find_first_not_of("0:.Z ") == std::string_view::npos;
}

/// 202106, 20210601
Date date_of_digits(const DateParts& parts, RecordStep step) {
    const int number = parts.numbers[0];
    if (step == RecordStep::months && parts.digits[0] == 6) {
        const auto day = record_day(number / 100, number % 100 - 1, 1);
        return day ? Date(*day) : no_such_day();
    }
    if (step == RecordStep::months || parts.digits[0] != 8) return unreadable();
    const auto day = record_day(number / 10'000, number / 100 % 100 - 1, number % 100);
    return day ? Date(*day) : no_such_day();
}

/// A whole number, also one that is written "1980.0".
std::optional<int> whole_number(const std::string& field) {
    const auto number = number_in_field(field);
    constexpr double kGreatest = 9999.0;
    if (!number || *number < 0.0 || *number > kGreatest || *number != std::floor(*number))
        return std::nullopt;
    return static_cast<int>(*number);
}

}  // namespace

std::optional<int> minute_of_text(std::string_view text) {
    while (!text.empty() && (text.back() == 'Z' || text.back() == ' ')) text.remove_suffix(1);
    std::array<int, 3> numbers{};
    std::size_t count = 0;
    std::size_t first_digits = 0;
    for (; count < numbers.size() && !text.empty(); ++count) {
        if (count > 0) {
            if (text.front() != ':') return std::nullopt;
            text.remove_prefix(1);
        }
        const auto [stop, error] =
            std::from_chars(text.data(), text.data() + text.size(), numbers[count]);
        if (error != std::errc{} || numbers[count] < 0) return std::nullopt;
        const auto digits = static_cast<std::size_t>(stop - text.data());
        if (count == 0) first_digits = digits;
        text.remove_prefix(digits);
        // "14.0" of a column of numbers, and "00.000" seconds.
        if (!text.empty() && text.front() == '.' &&
            text.substr(1).find_first_not_of('0') == std::string_view::npos)
            text = {};
    }
    if (count == 0 || !text.empty() || first_digits > 4) return std::nullopt;
    if (first_digits > 2) {  // "1400"
        if (count > 1) return std::nullopt;
        numbers = {numbers[0] / 100, numbers[0] % 100, 0};
    }
    constexpr int kMinutes = 60;
    const int minute = numbers[0] * kMinutes + numbers[1];
    if (numbers[1] >= kMinutes || numbers[2] >= kMinutes || minute > 24 * kMinutes)
        return std::nullopt;
    return minute;
}

tl::expected<StampedTime, std::string> time_of_text(std::string_view text, DateOrder order) {
    const std::size_t mark = text.find_first_of("T ");
    if (mark == std::string_view::npos) return tl::unexpected<std::string>("no time of day");
    const Date day = date_of_text(text.substr(0, mark), RecordStep::hours, order);
    if (!day) return tl::unexpected(day.error());
    const auto minute = minute_of_text(text.substr(mark + 1));
    if (!minute) return tl::unexpected<std::string>("time of day cannot be read");
    return StampedTime{*day, *minute};
}

Date date_of_text(std::string_view text, RecordStep step, DateOrder order) {
    const auto parts = parts_of(text);
    if (!parts || !is_midnight(parts->rest)) return unreadable();
    if (parts->count == 1) return date_of_digits(*parts, step);
    const auto& numbers = parts->numbers;
    if (step == RecordStep::months && parts->count == 2) {
        const bool year_first = parts->digits[0] == 4;
        if (parts->digits[year_first ? 0 : 1] != 4) return unreadable();
        const auto day = year_first ? record_day(numbers[0], numbers[1] - 1, 1)
                                    : record_day(numbers[1], numbers[0] - 1, 1);
        return day ? Date(*day) : no_such_day();
    }
    if (parts->count != 3) return unreadable();
    const std::size_t year = order == DateOrder::year_month_day ? 0 : 2;
    const std::size_t month = order == DateOrder::month_day_year ? 0 : 1;
    const std::size_t day = 3 - year - month;
    if (parts->digits[year] != 4) return unreadable();
    const auto found = record_day(numbers[year], numbers[month] - 1, numbers[day]);
    if (!found) return no_such_day();
    if (step == RecordStep::months && found->day != 1)
        return tl::unexpected<std::string>("a day in a record of months");
    return *found;
}

RecordDates::RecordDates(const RecordRecipe& record, const std::string& month_column,
                         const std::string& where)
    : record_(record), month_name_(month_column), where_(where) {}

Result<void> RecordDates::begin_file(const HeaderNames& header, const std::string& file) {
    struct Named {
        const std::string& name;
        int& column;
    };
    for (const Named& each :
         {Named{record_.date_column, date_}, Named{record_.year_column, year_},
          Named{month_name_, month_}, Named{record_.day_column, day_},
          Named{record_.day_of_year_column, day_of_year_}, Named{record_.hour_column, hour_}}) {
        each.column = header.index_of(each.name);
        if (each.column < 0 && !each.name.empty())
            return fail(header.lacking(each.name, file, where_));
    }
    return {};
}

Date RecordDates::date_of(const CsvRow& row, const TextRecoder& recoder) const {
    if (date_ >= 0)
        return date_of_text(text_in(row, date_, recoder), record_.step, record_.date_order);
    const auto year = whole_number(text_in(row, year_, recoder));
    if (!year) return unreadable();
    if (day_of_year_ >= 0) {
        const auto number = whole_number(text_in(row, day_of_year_, recoder));
        const auto day = number ? day_of_year(*year, *number) : std::nullopt;
        return day ? Date(*day) : no_such_day();
    }
    const auto month = whole_number(text_in(row, month_, recoder));
    if (!month || *month < 1 || *month > kMonths)
        return tl::unexpected<std::string>("month is not 1 to 12");
    const auto number =
        day_ < 0 ? std::optional<int>(1) : whole_number(text_in(row, day_, recoder));
    const auto day = number ? record_day(*year, *month - 1, *number) : std::nullopt;
    return day ? Date(*day) : no_such_day();
}

tl::expected<StampedTime, std::string> RecordDates::time_of(const CsvRow& row,
                                                            const TextRecoder& recoder) const {
    if (hour_ < 0) return time_of_text(text_in(row, date_, recoder), record_.date_order);
    const Date day = date_of(row, recoder);
    if (!day) return tl::unexpected(day.error());
    const auto minute = minute_of_text(text_in(row, hour_, recoder));
    if (!minute) return tl::unexpected<std::string>("hour is not 0 to 24");
    return StampedTime{*day, *minute};
}

std::string RecordDates::text_of(const CsvRow& row, const TextRecoder& recoder) const {
    std::string text;
    for (const int column : {date_, year_, month_, day_of_year_, day_, hour_})
        if (column >= 0) add_word(text, text_in(row, column, recoder));
    return text;
}

}  // namespace thirstline
