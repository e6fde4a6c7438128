// The dates of a record's rows, from the columns that a recipe names.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>

#include "builder/inputs/header_names.hpp"
#include "builder/inputs/text_encoding.hpp"
#include "builder/recipe/station_recipe.hpp"
#include "builder/records/calendar_days.hpp"
#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// A time of a record of hours, as written.
struct StampedTime {
    RecordDay day;
    int minute = 0;  ///< of the day, 0 to 1440
};

/// A day and a time of day after it: "2001-05-03T14:00", "5/3/2001 14:00"; or the rule that the
/// text breaks. A time with a zone other than "Z" is not read.
[[nodiscard]] tl::expected<StampedTime, std::string> time_of_text(std::string_view text,
                                                                  DateOrder order);

/// Minute of the day of "14:00", "14:00:00", "1400", "14" or "24:00"; nothing for another text.
[[nodiscard]] std::optional<int> minute_of_text(std::string_view text);

/// A day, or the first day of a month in a record of months. Or the rule that the text breaks.
/// Days are written as numbers in the order given, with "-", "/" or "." between them, or in order
/// of year, month and day as eight digits; a time of midnight may follow. Months: "2021-06",
/// "202106".
[[nodiscard]] tl::expected<RecordDay, std::string> date_of_text(std::string_view text,
                                                                RecordStep step, DateOrder order);

class RecordDates {
  public:
    /// `month_column` is the recipe's; empty if a date has the month.
    RecordDates(const RecordRecipe& record, const std::string& month_column,
                const std::string& where);

    /// Finds the columns in the header of the next file.
    /// Errors (bad_input): a column that is not there.
    [[nodiscard]] Result<void> begin_file(const HeaderNames& header, const std::string& file);

    /// Of a row; or the rule that it breaks.
    [[nodiscard]] tl::expected<RecordDay, std::string> date_of(const CsvRow& row,
                                                               const TextRecoder& recoder) const;
    /// Of a row of a record of hours.
    [[nodiscard]] tl::expected<StampedTime, std::string> time_of(const CsvRow& row,
                                                                 const TextRecoder& recoder) const;
    /// The date's fields, as written, for messages.
    [[nodiscard]] std::string text_of(const CsvRow& row, const TextRecoder& recoder) const;

  private:
    const RecordRecipe& record_;
    std::string month_name_;
    std::string where_;
    int date_ = -1;
    int year_ = -1;
    int month_ = -1;
    int day_ = -1;
    int day_of_year_ = -1;
    int hour_ = -1;
};

}  // namespace thirstline
