#include "builder/inputs/table_rows.hpp"

#include <algorithm>
#include <cstring>
#include <memory>
#include <string_view>
#include <utility>

#include "builder/inputs/table_fields.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

// A header line is looked for among as many lines; the longest preamble seen has some fifty.
constexpr std::int64_t kMaxLinesBeforeHeader = 1000;
// Between the fields of lines that were cut: in no text.
constexpr char kUnitSeparator = '\x1F';
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

/// The lines of a byte source.
class Lines {
  public:
    explicit Lines(ByteSource bytes) : bytes_(std::move(bytes)) {}

    /// Without its end, and cut off after more than kLongestRowBytes; false after the last.
    [[nodiscard]] Result<bool> next(std::string& line) {
        line.clear();
        while (true) {
            const char* start = block_.data() + at_;
            const void* found = at_ < filled_ ? std::memchr(start, '\n', filled_ - at_) : nullptr;
            const std::size_t length =
                found != nullptr ? static_cast<std::size_t>(static_cast<const char*>(found) - start)
                                 : filled_ - at_;
            line.append(start, std::min(length, kLongestRowBytes + 1 - line.size()));
            at_ += length + (found != nullptr ? 1 : 0);
            any_ = any_ || length > 0 || found != nullptr;
            if (found == nullptr) {
                const auto more = TRY(fill());
                if (more) continue;
                if (!std::exchange(any_, false)) return false;
            }
            any_ = false;
            if (line.ends_with('\r')) line.pop_back();
            if (std::exchange(is_first_, false) && line.starts_with(kByteOrderMark))
                line.erase(0, kByteOrderMark.size());
            return true;
        }
    }

    /// Up to `capacity` bytes of what `next` has not returned.
    [[nodiscard]] Result<std::size_t> rest(char* buffer, std::size_t capacity) {
        if (at_ == filled_) return bytes_(buffer, capacity);
        const std::size_t count = std::min(capacity, filled_ - at_);
        std::memcpy(buffer, block_.data() + at_, count);
        at_ += count;
        return count;
    }

  private:
    [[nodiscard]] Result<bool> fill() {
        block_.resize(std::size_t{1} << 14);
        filled_ = TRY(bytes_(block_.data(), block_.size()));
        at_ = 0;
        return filled_ > 0;
    }

    ByteSource bytes_;
    std::string block_;
    std::size_t at_ = 0;
    std::size_t filled_ = 0;
    bool any_ = false;  ///< of the line in work has been read
    bool is_first_ = true;
};

/// The text, and then what it returns for each further request.
template <class NextText>
ByteSource texts_as_bytes(std::string first, NextText next_text) {
    struct State {
        std::string text;
        std::size_t at = 0;
        NextText next_text;
    };
    auto state = std::make_shared<State>(State{std::move(first), 0, std::move(next_text)});
    return [state](char* buffer, std::size_t capacity) -> Result<std::size_t> {
        while (state->at == state->text.size()) {
            state->at = 0;
            const auto more = TRY(state->next_text(state->text));
            if (!more) {
                state->text.clear();
                return std::size_t{0};
            }
        }
        const std::size_t count = std::min(capacity, state->text.size() - state->at);
        std::copy_n(state->text.data() + state->at, count, buffer);
        state->at += count;
        return count;
    };
}

ByteSource line_and_rest(const std::string& line, const std::shared_ptr<Lines>& lines) {
    return texts_as_bytes(line + "\n", [lines](std::string& text) -> Result<bool> {
        text.resize(std::size_t{1} << 16);
        const auto count = TRY(lines->rest(text.data(), text.size()));
        text.resize(count);
        return count > 0;
    });
}

std::string cut(const std::string& line, const std::vector<FixedColumn>& columns) {
    std::string fields;
    for (const FixedColumn& column : columns) {
        if (&column != columns.data()) fields += kUnitSeparator;
        if (column.first > line.size()) continue;
        fields += trimmed_field(
            std::string_view(line).substr(column.first - 1, column.last - column.first + 1));
    }
    return fields + "\n";
}

/// The columns' names as a header line, and each line cut into its fields.
ByteSource cut_lines(const std::vector<FixedColumn>& columns, const std::shared_ptr<Lines>& lines) {
    std::string header;
    for (const FixedColumn& column : columns)
        add_word(header, column.name, std::string_view(&kUnitSeparator, 1));
    return texts_as_bytes(
        header + "\n",
        [lines, columns, line = std::string()](std::string& text) mutable -> Result<bool> {
            const auto more = TRY(lines->next(line));
            if (more) text = trimmed_field(line).empty() ? "\n" : cut(line, columns);
            return more;
        });
}

char separator_of(std::string_view header) {
    constexpr std::string_view kSeparators = "|\t;,";
    const auto times = [header](char c) { return std::count(header.begin(), header.end(), c); };
    return *std::max_element(kSeparators.begin(), kSeparators.end(),
                             [times](char a, char b) { return times(a) < times(b); });
}

/// Blanks and quotes before the first name of a header do not matter.
std::string_view unquoted_beginning(std::string_view text) {
    return text.substr(std::min(text.find_first_not_of(" \t\""), text.size()));
}

/// Reads up to the header line, into `line`; the number of lines before it.
Result<std::int64_t> find_header(Lines& lines, std::string& line, const std::string& name,
                                 const TableFormat& format, const TextRecoder& recoder,
                                 const std::string& where) {
    const std::string_view beginning = unquoted_beginning(format.header);
    for (std::int64_t before = 0;; ++before) {
        const auto more = TRY(lines.next(line));
        if (!more || (!format.header.empty() && before == kMaxLinesBeforeHeader)) {
            if (format.header.empty() && before <= format.skip_rows && before > 0) {
                return fail(ErrorCode::bad_input,
                            where + ": " + name + " has only " + std::to_string(before) +
                                " lines, and the recipe skips " + std::to_string(format.skip_rows),
                            "correct skip_rows, or name the header line's beginning with header");
            }
            if (format.header.empty() || before == 0)
                return fail(ErrorCode::bad_input, where + ": " + name + " is empty");
            return fail(ErrorCode::bad_input,
                        where + ": no line of " + name + " begins with \"" + format.header + "\"",
                        "write the first characters of the line of column names to header");
        }
        if (before < format.skip_rows || trimmed_field(line).empty()) continue;
        if (unquoted_beginning(recoder.utf8(line)).starts_with(beginning)) return before;
    }
}

}  // namespace

CsvReader rows_without_header(const std::string& name, ByteSource bytes,
                              const TableFormat& format) {
    return CsvReader::over(name, std::move(bytes), {format.separator, format.quotes});
}

Result<TableRows> open_table(const std::string& name, ByteSource bytes, const TableFormat& format,
                             const TextRecoder& recoder, const std::string& where) {
    const auto lines = std::make_shared<Lines>(std::move(bytes));
    CsvDialect dialect{format.separator, format.quotes};
    std::string line;
    ByteSource table;
    if (format.fixed.empty()) {
        dialect.lines_before = TRY(find_header(*lines, line, name, format, recoder, where));
        if (format.separator == kSeparatorOfHeader) dialect.delimiter = separator_of(line);
        table = line_and_rest(line, lines);
    } else {
        for (std::int64_t skipped = 0; skipped < format.skip_rows; ++skipped)
            TRY(lines->next(line));
        dialect = {kUnitSeparator, false, format.skip_rows - 1};  // names are before the first row
        table = cut_lines(format.fixed, lines);
    }
    TableRows rows{{}, CsvReader::over(name, std::move(table), dialect)};
    const auto header = TRY(rows.reader.next(rows.header));
    if (!header) return fail(ErrorCode::bad_input, where + ": " + name + " is empty");
    return rows;
}

}  // namespace thirstline
