#include "schema/files/csv_rows.hpp"

#include <csv.h>

#include <algorithm>
#include <cstring>
#include <deque>
#include <optional>
#include <utility>

#include "schema/platform/byte_streams.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kBlockBytes = std::size_t{1} << 16;

ByteSource bytes_of(InputStream stream) {
    return [shared = std::make_shared<InputStream>(std::move(stream))](
               char* buffer, std::size_t capacity) { return shared->read(buffer, capacity); };
}

struct Line {
    std::string text;  ///< ends in LF
    std::int64_t number = 0;
    std::int64_t end = 0;  ///< offset of its end, in bytes of all lines
    bool too_long = false;
};

/// Splits a file into lines of bounded length.
class LineReader {
  public:
    LineReader(std::string name, ByteSource bytes, std::int64_t lines_before)
        : name_(std::move(name)), bytes_(std::move(bytes)), lines_before_(lines_before) {}

    [[nodiscard]] const std::string& name() const { return name_; }

    /// False at the end. Adds the LF that the last line may lack.
    [[nodiscard]] Result<bool> next(Line& line) {
        line.text.clear();
        line.too_long = false;
        for (;;) {
            if (at_ == filled_) {
                TRY(fill());
                if (at_ == filled_) break;
            }
            const char* start = block_.data() + at_;
            const void* found = std::memchr(start, '\n', filled_ - at_);
            const std::size_t length =
                found != nullptr ? static_cast<std::size_t>(static_cast<const char*>(found) - start)
                                 : filled_ - at_;
            if (line.text.size() + length > kLongestRowBytes) {
                line.too_long = true;
            } else {
                line.text.append(start, length);
            }
            at_ += length + (found != nullptr ? 1 : 0);
            if (found != nullptr) return finished(line);
        }
        if (line.text.empty() && !line.too_long) return false;
        return finished(line);
    }

  private:
    [[nodiscard]] bool finished(Line& line) {
        if (line.text.ends_with('\r')) line.text.pop_back();
        line.text.push_back('\n');
        line.number = lines_before_ + ++lines_read_;
        bytes_so_far_ += static_cast<std::int64_t>(line.text.size());
        line.end = bytes_so_far_;
        constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
        if (lines_read_ == 1 && line.text.starts_with(kByteOrderMark))
            line.text.erase(0, kByteOrderMark.size());
        return true;
    }

    [[nodiscard]] Result<void> fill() {
        block_.resize(kBlockBytes);
        const auto got = TRY(bytes_(block_.data(), block_.size()));
        at_ = 0;
        filled_ = got;
        return {};
    }

    std::string name_;
    ByteSource bytes_;
    std::string block_;
    std::size_t at_ = 0;
    std::size_t filled_ = 0;
    std::int64_t lines_before_;
    std::int64_t lines_read_ = 0;
    std::int64_t bytes_so_far_ = 0;
};

bool is_blank(std::string_view line) {
    return line.find_first_not_of(" \t\r\n") == std::string_view::npos;
}

struct RowBuilder {
    std::string* bytes = nullptr;
    std::vector<std::size_t>* ends = nullptr;
    bool complete = false;
};

void end_field(void* text, std::size_t length, void* builder) {
    auto& row = *static_cast<RowBuilder*>(builder);
    if (row.complete) return;
    row.bytes->append(static_cast<const char*>(text), length);
    row.ends->push_back(row.bytes->size());
}

void end_row(int, void* builder) {
    static_cast<RowBuilder*>(builder)->complete = true;
}

/// libcsv's parser, reset for the start of a row.
class FieldParser {
  public:
    explicit FieldParser(CsvDialect dialect) : dialect_(dialect) { init(); }
    FieldParser(const FieldParser&) = delete;
    FieldParser& operator=(const FieldParser&) = delete;
    ~FieldParser() { csv_free(&parser_); }

    /// False if memory runs out.
    [[nodiscard]] bool feed(std::string_view text, RowBuilder& row) {
        return csv_parse(&parser_, text.data(), text.size(), end_field, end_row, &row) ==
               text.size();
    }
    /// Discards a partial row.
    void reset() {
        csv_free(&parser_);
        init();
    }
    /// Whether this line ends a row that is within quotes before it.
    [[nodiscard]] Result<bool> closes(std::string_view line, const std::string& name) {
        reset();
        std::string ignored_bytes;
        std::vector<std::size_t> ignored_ends;
        RowBuilder row{&ignored_bytes, &ignored_ends};
        const char quote = dialect_.quotes ? '"' : '\0';
        const bool fed = feed({&quote, 1}, row) && feed(line, row);
        reset();
        if (!fed) return fail(ErrorCode::internal, "out of memory while reading " + name);
        return row.complete;
    }

  private:
    void init() {
        csv_init(&parser_, 0);
        csv_set_delim(&parser_, static_cast<unsigned char>(dialect_.delimiter));
        if (!dialect_.quotes) csv_set_quote(&parser_, 0);
        if (dialect_.delimiter == '\t') {
            csv_set_space_func(&parser_, [](unsigned char c) { return c == CSV_SPACE ? 1 : 0; });
        }
        // A carriage return within a line is an ordinary character: as a row end it would hide the
        // text after it.
        csv_set_term_func(&parser_, [](unsigned char c) { return c == CSV_LF ? 1 : 0; });
    }

    CsvDialect dialect_;
    csv_parser parser_{};
};

}  // namespace

struct CsvReader::State {
    State(std::string name, ByteSource bytes, CsvDialect dialect)
        : lines(std::move(name), std::move(bytes), dialect.lines_before),
          parser(dialect),
          ahead(dialect) {}

    [[nodiscard]] Result<bool> next_line(Line& next) {
        if (again.empty()) return lines.next(next);
        next = std::move(again.front());
        again.pop_front();
        return true;
    }

    /// The last line of a row that is within quotes after its first line, `first`; nothing if the
    /// row does not end, or is longer than the limit. Lines read ahead are kept in `again`.
    ///
    /// At the end of a line within quotes it no longer matters where the row began: a line that
    /// does not end one such row ends none. So no line is examined twice.
    [[nodiscard]] Result<std::optional<std::int64_t>> last_line_of(const Line& first) {
        const std::int64_t begin = first.end - static_cast<std::int64_t>(first.text.size());
        for (;;) {
            const std::int64_t needed = std::max(first.number, open_until) + 1;
            const std::int64_t next_waiting =
                again.empty() ? first.number + 1 : again.front().number;
            if (needed - next_waiting == static_cast<std::int64_t>(again.size())) {
                Line more;
                const auto got = TRY(lines.next(more));
                if (!got) return std::optional<std::int64_t>{};
                again.push_back(std::move(more));
            }
            const Line& candidate = again[static_cast<std::size_t>(needed - next_waiting)];
            if (candidate.too_long || candidate.end - begin > std::int64_t{kLongestRowBytes} + 1)
                return std::optional<std::int64_t>{};
            const auto closes = TRY(ahead.closes(candidate.text, lines.name()));
            if (closes) return std::optional(candidate.number);
            open_until = candidate.number;
        }
    }

    LineReader lines;
    FieldParser parser, ahead;
    std::deque<Line> again;       ///< lines that were read ahead
    std::int64_t open_until = 0;  ///< no line up to this one ends a row that is within quotes
    Line line;                    ///< the current one; a member so that its memory is reused
};

CsvReader::CsvReader(std::unique_ptr<State> state) : state_(std::move(state)) {}
CsvReader::CsvReader(CsvReader&&) noexcept = default;
CsvReader& CsvReader::operator=(CsvReader&&) noexcept = default;
CsvReader::~CsvReader() = default;

CsvReader CsvReader::over(std::string name, ByteSource bytes, CsvDialect dialect) {
    return CsvReader(std::make_unique<State>(std::move(name), std::move(bytes), dialect));
}

Result<CsvReader> CsvReader::open(const std::string& path) {
    const auto over_stream = [](InputStream stream) {
        const std::string name = stream.name();
        return over(name, bytes_of(std::move(stream)));
    };
    if (path == "-") return over_stream(InputStream::standard_input());
    auto opened = TRY(InputStream::open(path));
    return over_stream(std::move(opened));
}

const std::string& CsvReader::name() const {
    return state_->lines.name();
}

Result<bool> CsvReader::next(CsvRow& row) {
    row.bytes_.clear();
    row.ends_.clear();
    row.problem_ = {};
    RowBuilder builder{&row.bytes_, &row.ends_};

    Line& line = state_->line;
    do {
        const auto got = TRY(state_->next_line(line));
        if (!got) return false;
    } while (is_blank(line.text) && !line.too_long);
    row.line_ = line.number;
    if (line.too_long) {
        row.problem_ = "the line is longer than 64 KiB";
        return true;
    }
    const auto fed = [&](const Line& part) -> Result<void> {
        if (state_->parser.feed(part.text, builder)) return {};
        return fail(ErrorCode::internal, "out of memory while reading " + name());
    };
    TRY(fed(line));
    if (builder.complete) return true;
    const auto last = TRY(state_->last_line_of(line));
    if (!last) {
        state_->parser.reset();
        row.bytes_.clear();
        row.ends_.clear();
        row.problem_ = "a quote is not closed";
        return true;
    }
    while (!builder.complete) {
        TRY(fed(state_->again.front()));
        state_->again.pop_front();
    }
    return true;
}

void append_csv_field(std::string& out, std::string_view field) {
    const bool has_edge_blank = !field.empty() && (field.front() == ' ' || field.back() == ' ' ||
                                                   field.front() == '\t' || field.back() == '\t');
    if (!has_edge_blank && field.find_first_of(",\"\r\n") == std::string_view::npos) {
        out += field;
        return;
    }
    out.push_back('"');
    for (const char c : field) {
        if (c == '"') out.push_back('"');
        out.push_back(c);
    }
    out.push_back('"');
}

void append_csv_text(std::string& out, std::string_view text) {
    const bool looks_like_formula =
        !text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos;
    const bool is_number = text.size() > 1 && (text.front() == '+' || text.front() == '-') &&
                           text.find_first_not_of("0123456789.", 1) == std::string_view::npos;
    if (!looks_like_formula || is_number) return append_csv_field(out, text);
    append_csv_field(out, "'" + std::string(text));
}

std::string_view CsvRow::field(std::size_t index) const {
    if (index >= ends_.size()) return {};
    const std::size_t start = index == 0 ? 0 : ends_[index - 1];
    return std::string_view(bytes_).substr(start, ends_[index] - start);
}

}  // namespace thirstline
