// The column names of a table's header.
#pragma once

#include <string>
#include <vector>

#include "builder/inputs/text_encoding.hpp"
#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

/// A row's field in UTF-8, without blanks around it; empty for column −1.
[[nodiscard]] std::string text_in(const CsvRow& row, int column, const TextRecoder& recoder);

class HeaderNames {
  public:
    /// Blanks around the names are ignored.
    HeaderNames(const CsvRow& header, const TextRecoder& recoder);

    /// In the order of the columns.
    [[nodiscard]] const std::vector<std::string>& names() const { return names_; }

    /// Counted from 0; −1 for an empty name, and if there is no such column.
    [[nodiscard]] int index_of(const std::string& name) const;

    /// The error (bad_input) for a column that is not there: "merrow.toml:34: tmax.csv has no
    /// column …", with the nearest name, or the separator that the header seems to have.
    [[nodiscard]] Error lacking(const std::string& name, const std::string& file,
                                const std::string& where) const;

  private:
    std::vector<std::string> names_;
};

}  // namespace thirstline
