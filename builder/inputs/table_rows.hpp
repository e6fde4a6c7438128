// Opens a table of text in the form that a recipe states: finds the header line after lines of
// text, takes the separator from it where asked to, cuts lines of fixed width.
#pragma once

#include <string>

#include "builder/inputs/table_format.hpp"
#include "builder/inputs/text_encoding.hpp"
#include "schema/base/result.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

struct TableRows {
    CsvRow header;     ///< of fixed columns, their names
    CsvReader reader;  ///< of the rows after the header, with their lines in the file
};

/// Errors (bad_input): an empty file, or no line that begins as the header must; `where`
/// ("merrow.toml:34") begins the message, and `name` is the file's in it.
[[nodiscard]] Result<TableRows> open_table(const std::string& name, ByteSource bytes,
                                           const TableFormat& format, const TextRecoder& recoder,
                                           const std::string& where);

/// The same for a table without a header line.
[[nodiscard]] CsvReader rows_without_header(const std::string& name, ByteSource bytes,
                                            const TableFormat& format);

}  // namespace thirstline
