// Reads comma-separated text row by row, in bounded memory, with the line number of each row.
//
// The fields are parsed by libcsv: quotes, doubled quotes, commas and line ends within quotes,
// blanks around a field. Blank lines are skipped, a byte order mark is dropped, and lines may end
// in LF or CRLF. A row that cannot be read does not end the reading: it is returned with a
// description of the fault. If a quote is never closed, only the line that opened it is lost; the
// lines after it are read again as rows of their own. The time is linear in the number of bytes,
// for any content.
//
// The bytes come from a file, from standard input or from a function of the caller, who may also
// choose another field separator, such as a tab, or have quotes treated as ordinary characters.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

/// Maximum length of a row, which may span several lines.
inline constexpr std::size_t kLongestRowBytes = 64 * 1024;

class CsvRow {
  public:
    [[nodiscard]] std::int64_t line() const { return line_; }  ///< the row's first line, from 1
    [[nodiscard]] std::size_t size() const { return ends_.size(); }
    /// Empty beyond the row's end.
    [[nodiscard]] std::string_view field(std::size_t index) const;
    /// Why the row cannot be used, such as "a quote is not closed"; empty for a valid row.
    [[nodiscard]] std::string_view problem() const { return problem_; }

  private:
    friend class CsvReader;
    std::string bytes_;              ///< the fields, one after another
    std::vector<std::size_t> ends_;  ///< where each ends
    std::int64_t line_ = 0;
    std::string_view problem_;
};

struct CsvDialect {
    char delimiter = ',';
    bool quotes = true;
    std::int64_t lines_before = 0;  ///< of the file before the bytes, counted in line numbers
};

/// Puts up to `capacity` bytes into `buffer` and returns their number; 0 at the end.
using ByteSource = std::function<Result<std::size_t>(char* buffer, std::size_t capacity)>;

class CsvReader {
  public:
    /// Errors call the source `name`.
    [[nodiscard]] static CsvReader over(std::string name, ByteSource bytes,
                                        CsvDialect dialect = {});
    /// "-" reads standard input, which errors call "standard input".
    /// Errors: io where the file cannot be opened.
    [[nodiscard]] static Result<CsvReader> open(const std::string& path);
    CsvReader(CsvReader&&) noexcept;
    CsvReader& operator=(CsvReader&&) noexcept;
    ~CsvReader();

    /// The path as given, or "standard input".
    [[nodiscard]] const std::string& name() const;

    /// Fills `row` with the next one; false at the end.
    /// Errors: io where reading fails.
    [[nodiscard]] Result<bool> next(CsvRow& row);

  private:
    struct State;
    explicit CsvReader(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

/// Appends a field, in quotes if it needs them (RFC 4180).
void append_csv_field(std::string& out, std::string_view field);

/// The same for a text from a file or a user: an apostrophe is put before text that a spreadsheet
/// would run as a formula (it begins with = + - @, a tab or a carriage return, and is not a plain
/// number).
void append_csv_text(std::string& out, std::string_view text);

}  // namespace thirstline
