#include "lookup/site/own_record.hpp"

#include <array>
#include <string_view>
#include <utility>

#include "schema/base/inch.hpp"
#include "schema/base/words.hpp"
#include "schema/files/csv_rows.hpp"
#include "schema/text/plain_numbers.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

constexpr std::string_view kHeaderHint =
    "the header is month,eto_mm,rain_mm; eto_mm or rain_mm may be left out";

struct RecordColumns {
    std::optional<std::size_t> month;
    std::optional<std::size_t> eto_mm;
    std::optional<std::size_t> rain_mm;
};

std::string line_of(const CsvReader& reader, const CsvRow& row) {
    return reader.name() + ":" + std::to_string(row.line());
}

Result<RecordColumns> columns_of(const CsvReader& reader, const CsvRow& header) {
    const std::string where = line_of(reader, header);
    RecordColumns columns;
    for (std::size_t i = 0; i < header.size(); ++i) {
        const std::string_view name = header.field(i);
        std::optional<std::size_t>* column = name == "month"     ? &columns.month
                                             : name == "eto_mm"  ? &columns.eto_mm
                                             : name == "rain_mm" ? &columns.rain_mm
                                                                 : nullptr;
        if (column == nullptr) {
            const bool has_other_separator = name.find_first_of(";\t") != std::string_view::npos;
            return fail(
                ErrorCode::bad_input, where + ": unknown column " + in_quotes(name),
                has_other_separator ? "separate the columns by commas" : std::string(kHeaderHint));
        }
        if (*column) {
            return fail(ErrorCode::bad_input,
                        where + ": the column " + in_quotes(name) + " is given twice");
        }
        *column = i;
    }
    if (!columns.month || (!columns.eto_mm && !columns.rain_mm)) {
        return fail(ErrorCode::bad_input,
                    where + ": the header lacks the column " +
                        (columns.month ? "\"eto_mm\" or \"rain_mm\"" : "\"month\""),
                    std::string(kHeaderHint));
    }
    return columns;
}

/// Nothing for a blank field.
Result<std::optional<double>> value_of(std::string_view field, std::string_view name,
                                       double greatest, const std::string& where) {
    if (field.empty()) return std::nullopt;
    const auto value = plain_number(field);
    if (value && *value >= 0.0 && *value <= greatest) return *value;
    return fail(ErrorCode::bad_input, where + ": the column " + in_quotes(name) +
                                          " must be a number from 0 to " + fixed(greatest, 0) +
                                          " mm, not " + in_quotes(field));
}

Result<std::size_t> month_index_of(std::string_view field, const std::string& where) {
    const auto month = plain_number(field);
    for (std::size_t index = 0; month && index < kMonths; ++index)
        if (*month == static_cast<double>(index + 1)) return index;
    return fail(
        ErrorCode::bad_input,
        where + ": the column \"month\" must be a month from 1 to 12, not " + in_quotes(field));
}

Result<void> take_row(OwnRecord& record, std::array<bool, kMonths>& seen,
                      const RecordColumns& columns, const CsvReader& reader, const CsvRow& row,
                      std::size_t width) {
    const std::string where = line_of(reader, row);
    if (!row.problem().empty())
        return fail(ErrorCode::bad_input, where + ": " + std::string(row.problem()));
    if (row.size() != width) {
        return fail(ErrorCode::bad_input, where + ": the row must have " + std::to_string(width) +
                                              " fields like the header, not " +
                                              std::to_string(row.size()));
    }
    const auto month = TRY(month_index_of(row.field(*columns.month), where));
    if (seen[month]) {
        return fail(ErrorCode::bad_input,
                    where + ": month " + std::to_string(month + 1) + " is given twice");
    }
    seen[month] = true;
    if (columns.eto_mm) {
        record.eto_mm[month] =
            TRY(value_of(row.field(*columns.eto_mm), "eto_mm", kGreatestOwnEtoMm, where));
    }
    if (columns.rain_mm) {
        record.rain_mm[month] =
            TRY(value_of(row.field(*columns.rain_mm), "rain_mm", kGreatestOwnRainMm, where));
    }
    return {};
}

bool holds_a_value(const OwnRecord& record) {
    for (std::size_t m = 0; m < kMonths; ++m)
        if (record.eto_mm[m] || record.rain_mm[m]) return true;
    return false;
}

Result<OwnRecord> record_in(CsvReader reader) {
    CsvRow row;
    const auto header = TRY(reader.next(row));
    if (!header)
        return fail(ErrorCode::bad_input, reader.name() + " is empty", std::string(kHeaderHint));
    const auto columns = TRY(columns_of(reader, row));
    const std::size_t width = row.size();

    OwnRecord record;
    record.file = reader.name();
    std::array<bool, kMonths> seen{};
    for (;;) {
        const auto more = TRY(reader.next(row));
        if (!more) break;
        TRY(take_row(record, seen, columns, reader, row, width));
    }
    if (!holds_a_value(record)) {
        return fail(ErrorCode::bad_input, reader.name() + " has no values",
                    "a line such as 7,165.0,12.5 gives July's ETo and rain in mm");
    }
    return record;
}

}  // namespace

Result<OwnRecord> read_own_record(const std::string& path) {
    auto reader = TRY(CsvReader::open(path));
    return record_in(std::move(reader));
}

Result<OwnRecord> own_record_of_text(std::string_view text, const std::string& name) {
    return record_in(CsvReader::over(
        name, [rest = text](char* buffer, std::size_t capacity) mutable -> Result<std::size_t> {
            const std::size_t count = rest.copy(buffer, capacity);
            rest.remove_prefix(count);
            return count;
        }));
}

namespace {

constexpr double kMinComparedMm = 5.0;
constexpr double kMaxRatio = 3.0;
constexpr double kNearInches = 1.3;  // within this factor of 25.4

/// The record's sum divided by the file's, over the months that both have.
std::optional<double> ratio_to_file(const SiteProfile& profile,
                                    const Monthly<std::optional<double>>& record,
                                    std::optional<double> MonthProfile::*of_file) {
    double own = 0.0;
    double file = 0.0;
    for (std::size_t m = 0; m < kMonths; ++m) {
        const std::optional<double>& value = profile.months[m].*of_file;
        if (!record[m] || !value || *value < kMinComparedMm) continue;
        own += *record[m];
        file += *value;
    }
    return file > 0.0 ? std::optional(own / file) : std::nullopt;
}

Result<std::optional<std::string>> judged_ratio(std::optional<double> ratio, const char* name,
                                                const std::string& file) {
    if (!ratio || (*ratio <= kMaxRatio && *ratio >= 1.0 / kMaxRatio)) return std::nullopt;
    const auto is_near = [&ratio](double factor) {
        return *ratio<factor * kNearInches&& * ratio> factor / kNearInches;
    };
    const std::string times = "the " + std::string(name) + " of " + file + " is " +
                              fixed(*ratio, *ratio < 1.0 ? 3 : 1) + " times the database's";
    if (is_near(1.0 / kMmPerInch)) {
        return fail(ErrorCode::bad_input, times + ": it is probably in inches, not millimeters",
                    "multiply it by 25.4");
    }
    if (is_near(kMmPerInch)) {
        return fail(ErrorCode::bad_input,
                    times + ": it has probably been converted from inches twice",
                    "divide it by 25.4");
    }
    return times + "; check its unit, and whether its values are totals of the month";
}

}  // namespace

Result<std::vector<std::string>> check_own_record(const SiteProfile& profile,
                                                  const OwnRecord& record) {
    std::vector<std::string> warnings;
    auto eto = TRY(judged_ratio(ratio_to_file(profile, record.eto_mm, &MonthProfile::eto_mm), "ETo",
                                record.file));
    if (eto) warnings.push_back(std::move(*eto));
    auto rain = TRY(judged_ratio(ratio_to_file(profile, record.rain_mm, &MonthProfile::rain_mm),
                                 "rain", record.file));
    if (rain) warnings.push_back(std::move(*rain));
    return warnings;
}

void apply_own_record(SiteProfile& profile, const OwnRecord& record) {
    for (std::size_t m = 0; m < kMonths; ++m) {
        MonthProfile& month = profile.months[m];
        if (record.eto_mm[m]) {
            month.eto_mm = record.eto_mm[m];
            month.eto_mm_per_day = *record.eto_mm[m] / kDaysInMonth[m];
            month.eto_se_mm.reset();
            month.eto_is_own = true;
        }
        if (record.rain_mm[m]) {
            month.rain_mm = record.rain_mm[m];
            month.rain_se_mm.reset();
            month.rain_is_own = true;
        }
    }
    derive_year(profile);
}

}  // namespace thirstline
