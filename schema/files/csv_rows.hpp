// Reads comma-separated text a row at a time, in bounded memory, and knows each row's line.
//
// The fields themselves are parsed by libcsv: quotes, doubled quotes, commas and line ends within
// quotes, blanks around a field. Blank lines are skipped, a byte order mark is dropped, and lines
// may end in LF or CRLF. A row that cannot be read does not end the reading: it is handed over with
// what is wrong with it. If a quote is never closed, only the line that opened it is given up;
// those after it are read again as rows of their own. The time taken grows with the bytes, whatever
// stands in them.
//
// The bytes come from a file, from standard input or from a function of the caller, who may also
// have fields separated by another character, such as a tab, or quotes taken for characters like
// any other.
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

/// A row may run over several lines, but not be longer than this.
inline constexpr std::size_t kLongestRowBytes = 64 * 1024;

class CsvRow {
  public:
    [[nodiscard]] std::int64_t line() const { return line_; }  ///< its first line, from 1
    [[nodiscard]] std::size_t size() const { return ends_.size(); }
    /// Empty beyond the row's end.
    [[nodiscard]] std::string_view field(std::size_t index) const;
    /// Why the row cannot be used, such as "a quote is not closed"; empty for a sound row.
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
};

/// Puts up to `capacity` bytes into `buffer` and says how many; 0 at the end.
using ByteSource = std::function<Result<std::size_t>(char* buffer, std::size_t capacity)>;

class CsvReader {
  public:
    /// `name` is what errors call the source.
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

/// The same for a text that came from a file or a user: one that a spreadsheet would run as a
/// formula (it begins with = + - @, a tab or a carriage return, and is not a plain number) gets an
/// apostrophe before it.
void append_csv_text(std::string& out, std::string_view text);

}  // namespace thirstline
