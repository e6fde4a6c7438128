// Which rows of a table are wanted: those whose columns have the values that a recipe states.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "builder/inputs/header_names.hpp"
#include "builder/inputs/table_format.hpp"
#include "builder/inputs/text_encoding.hpp"
#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// Conditions of which a row must meet all, over the files of one source.
class RowChoice {
  public:
    explicit RowChoice(std::vector<RowCondition> conditions);

    /// Finds the columns in the header of the next file.
    /// Errors (bad_input): a column that is not there.
    [[nodiscard]] Result<void> begin_file(const HeaderNames& header, const std::string& file);

    /// Whether the row meets all conditions.
    [[nodiscard]] bool chooses(const CsvRow& row, const TextRecoder& recoder);

    /// Errors (bad_input): no row was chosen. The message names the first condition that none met,
    /// and the nearest value in its column; `table` is the table's name in it.
    [[nodiscard]] Result<void> check_chosen(const std::string& table) const;

  private:
    std::vector<RowCondition> conditions_;
    std::vector<int> columns_;
    /// By condition, values seen in its column that are not wanted, up to a limit.
    std::vector<std::set<std::string>> others_;
    std::vector<bool> met_;
    bool chosen_ = false;
};

}  // namespace thirstline
