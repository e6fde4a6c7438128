// Signs that a table is a record of years, months, days or hours, and not a table of normals:
// columns of dates. Alone they prove nothing (a table of normals may state when it was made); they
// explain why a table cannot be read as one.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "builder/inputs/header_names.hpp"
#include "builder/inputs/text_encoding.hpp"
#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// Each is finer than the one before.
enum class TimeStep : std::uint8_t { none, years, months, days, hours };

/// How fine a text states a time, and whether it is one of a certain year.
struct StatedTime {
    TimeStep step = TimeStep::none;
    bool has_year = false;
    bool operator==(const StatedTime&) const = default;
};

/// "2021-06" states months, "2021/6/1", "6/1/2021", "20210601" and "01-01" days, "2021-06-01T00:00"
/// and "01-01T00:00:00" hours. None for any other text, a plain number or a month's number.
[[nodiscard]] StatedTime stated_time(std::string_view text);

class RecordSigns {
  public:
    /// `month_column` is the recipe's; empty in tables with a row a year.
    explicit RecordSigns(std::string month_column);

    void begin_file(const HeaderNames& header);
    /// Looks at the first rows of a file, until one has signs.
    void note(const CsvRow& row, const TextRecoder& recoder);

    /// The year that a row states beside its twelve months (each as a number), as text; empty for
    /// none, and for one that is their sum or mean.
    [[nodiscard]] std::string year_beside(const CsvRow& row, const std::vector<double>& months,
                                          const TextRecoder& recoder) const;

    /// Whether `note` still looks at rows of the file.
    [[nodiscard]] bool looks() const;

    [[nodiscard]] TimeStep step() const { return found_.time.step; }

    /// "merrow.toml:34: gsod.csv is a record of days, not a table of normals (in its first row,
    /// "DATE" is 2025-01-01)", with what to do. Without signs, a record of years.
    [[nodiscard]] Error error(const std::string& where, const std::string& table) const;
    /// For the hint of another error; empty without signs.
    [[nodiscard]] std::string suspicion() const;

  private:
    struct Column {
        std::string name;
        int index = -1;
    };
    struct Found {
        StatedTime time;
        std::string values;  ///< of the columns that state it
    };
    [[nodiscard]] Found found_in(const CsvRow& row, const TextRecoder& recoder) const;
    /// "gsod.csv is a record of days, not a table of normals", after the first word.
    [[nodiscard]] std::string what_it_is() const;
    [[nodiscard]] std::string what_to_do() const;

    std::string month_column_;
    std::vector<Column> dates_, years_, days_, hours_;
    int rows_seen_ = 0;
    int files_seen_ = 0;
    Found found_;
};

}  // namespace thirstline
