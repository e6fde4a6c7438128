#include "schema/files/csv_rows.hpp"

#include <csv.h>
#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <deque>
#include <utility>

namespace thirstline {
namespace {

constexpr std::size_t kBlockBytes = std::size_t{1} << 16;

/// An open file that closes itself, standard input apart.
class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number_ > STDIN_FILENO) ::close(number_);
    }
    [[nodiscard]] int number() const { return number_; }

  private:
    int number_;
};

ByteSource bytes_of(int descriptor, const std::string& name) {
    return [file = std::make_shared<Descriptor>(descriptor), name](
               char* buffer, std::size_t capacity) -> Result<std::size_t> {
        for (;;) {
            const ssize_t got = ::read(file->number(), buffer, capacity);
            if (got >= 0) return static_cast<std::size_t>(got);
            if (errno == EINTR) continue;
            return fail(ErrorCode::io, name + " cannot be read: " + std::strerror(errno));
        }
    };
}

struct Line {
    std::string text;  ///< ends in LF
    std::int64_t number = 0;
    bool too_long = false;
};

/// Splits a file into lines of bounded length.
class LineReader {
  public:
    LineReader(std::string name, ByteSource bytes)
        : name_(std::move(name)), bytes_(std::move(bytes)) {}

    [[nodiscard]] const std::string& name() const { return name_; }

    /// False at the end. The last line gets the LF that it may lack.
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
        line.number = ++line_number_;
        constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
        if (line.number == 1 && line.text.starts_with(kByteOrderMark)) {
            line.text.erase(0, kByteOrderMark.size());
        }
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
    std::int64_t line_number_ = 0;
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

/// libcsv's parser, ready for the start of a row.
class FieldParser {
  public:
    explicit FieldParser(CsvDialect dialect) : dialect_(dialect) { init(); }
    FieldParser(const FieldParser&) = delete;
    FieldParser& operator=(const FieldParser&) = delete;
    ~FieldParser() { csv_free(&parser_); }

    /// False if memory ran out.
    [[nodiscard]] bool feed(std::string_view text, RowBuilder& row) {
        return csv_parse(&parser_, text.data(), text.size(), end_field, end_row, &row) ==
               text.size();
    }
    /// Forgets a row that was begun.
    void reset() {
        csv_free(&parser_);
        init();
    }

  private:
    void init() {
        csv_init(&parser_, 0);
        csv_set_delim(&parser_, static_cast<unsigned char>(dialect_.delimiter));
        if (!dialect_.quotes) csv_set_quote(&parser_, 0);
        if (dialect_.delimiter == '\t') {
            csv_set_space_func(&parser_, [](unsigned char c) { return c == CSV_SPACE ? 1 : 0; });
        }
        // A carriage return within a line is a character like any other: taken for a row's end it
        // would make what follows it vanish.
        csv_set_term_func(&parser_, [](unsigned char c) { return c == CSV_LF ? 1 : 0; });
    }

    CsvDialect dialect_;
    csv_parser parser_{};
};

}  // namespace

struct CsvReader::State {
    State(std::string name, ByteSource bytes, CsvDialect dialect)
        : lines(std::move(name), std::move(bytes)), parser(dialect) {}

    [[nodiscard]] Result<bool> next_line(Line& next) {
        if (again.empty()) return lines.next(next);
        next = std::move(again.front());
        again.pop_front();
        return true;
    }

    /// Gives up the first of the lines of an unclosed quote and keeps the others to be read again.
    void give_up_first(std::vector<Line>& taken) {
        parser.reset();
        for (std::size_t i = taken.size(); i-- > 1;) again.push_front(std::move(taken[i]));
    }

    LineReader lines;
    FieldParser parser;
    std::deque<Line> again;
    Line line;  ///< the one in hand; a member so that its memory is used again
};

CsvReader::CsvReader(std::unique_ptr<State> state) : state_(std::move(state)) {}
CsvReader::CsvReader(CsvReader&&) noexcept = default;
CsvReader& CsvReader::operator=(CsvReader&&) noexcept = default;
CsvReader::~CsvReader() = default;

CsvReader CsvReader::over(std::string name, ByteSource bytes, CsvDialect dialect) {
    return CsvReader(std::make_unique<State>(std::move(name), std::move(bytes), dialect));
}

Result<CsvReader> CsvReader::open(const std::string& path) {
    if (path == "-") return over("standard input", bytes_of(STDIN_FILENO, "standard input"));
    const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0) {
        return fail(ErrorCode::io, path + " cannot be opened: " + std::strerror(errno));
    }
    return over(path, bytes_of(descriptor, path));
}

const std::string& CsvReader::name() const {
    return state_->lines.name();
}

Result<bool> CsvReader::next(CsvRow& row) {
    row.bytes_.clear();
    row.ends_.clear();
    row.problem_ = {};
    RowBuilder builder{&row.bytes_, &row.ends_};

    std::vector<Line> taken;
    std::size_t taken_bytes = 0;
    Line& line = state_->line;
    for (;;) {
        const auto got = TRY(state_->next_line(line));
        const bool in_quotes = !taken.empty();
        if (!got && !in_quotes) return false;
        if (got && !in_quotes) {
            if (is_blank(line.text) && !line.too_long) continue;
            row.line_ = line.number;
            if (line.too_long) {
                row.problem_ = "the line is longer than 64 KiB";
                return true;
            }
        }
        const bool may_go_on =
            got && !line.too_long && taken_bytes + line.text.size() <= kLongestRowBytes + 1;
        if (may_go_on) {
            if (!state_->parser.feed(line.text, builder)) {
                return fail(ErrorCode::internal, "memory ran out while reading " + name());
            }
            if (builder.complete) return true;
            taken_bytes += line.text.size();
            taken.push_back(std::move(line));
            continue;
        }
        if (got) taken.push_back(std::move(line));
        state_->give_up_first(taken);
        row.bytes_.clear();
        row.ends_.clear();
        row.problem_ = "a quote is not closed";
        return true;
    }
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

std::string_view CsvRow::field(std::size_t index) const {
    if (index >= ends_.size()) return {};
    const std::size_t start = index == 0 ? 0 : ends_[index - 1];
    return std::string_view(bytes_).substr(start, ends_[index] - start);
}

}  // namespace thirstline
