#include "schema/files/toml_file.hpp"

#include <algorithm>
#include <optional>

#include "schema/files/whole_file.hpp"

namespace thirstline {

namespace {

constexpr std::string_view kBlanks = " \t";

bool is_key_character(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-';
}

/// Scans a document before the parser does, for content that would crash the parser: keys and
/// values nested so deep that its stack overflows, and headers in which it asserts a key.
class DepthCheck {
  public:
    explicit DepthCheck(std::string_view text) : text_(text) {}

    /// Empty if the document can be parsed. Otherwise at() gives the position.
    [[nodiscard]] std::string problem() {
        std::optional<std::string> found;
        while (at_ < text_.size() && !found) found = next();
        return found.value_or("");
    }
    /// "line:column", both from 1, the column in bytes.
    [[nodiscard]] std::string at() const {
        const std::string_view before = text_.substr(0, std::min(at_, text_.size()));
        const auto line = std::count(before.begin(), before.end(), '\n') + 1;
        const std::size_t line_start = before.find_last_of('\n') + 1;  // 0 if there is none
        return std::to_string(line) + ":" + std::to_string(before.size() - line_start + 1);
    }

  private:
    std::optional<std::string> next() {
        const char c = text_[at_];
        if (c == '#') {
            at_ = std::min(text_.find('\n', at_), text_.size());
            return std::nullopt;
        }
        if (c == '"' || c == '\'') {
            pass_string(c);
            at_line_start_ = false;
            return std::nullopt;
        }
        if (c == '[' && at_line_start_ && depth_ == 0 && !begins_key_after_brackets())
            return "a table's name is expected after the bracket";
        if (c == '[' || c == '{') {
            if (++depth_ > kMaxTomlDepth)
                return "brackets are nested more than " + std::to_string(kMaxTomlDepth) + " deep";
        } else if (c == ']' || c == '}') {
            depth_ = std::max(depth_ - 1, 0);
        } else if (c == '.' && ++dots_ >= kMaxTomlKeyParts) {
            return "a key has more than " + std::to_string(kMaxTomlKeyParts) + " parts";
        }
        if (c == '\n') {
            at_line_start_ = true;
        } else if (kBlanks.find(c) == std::string_view::npos &&
                   static_cast<unsigned char>(c) < 0x80) {
            at_line_start_ = false;
        }
        if (!is_key_character(c) && c != '.' && kBlanks.find(c) == std::string_view::npos)
            dots_ = 0;
        ++at_;
        return std::nullopt;
    }

    [[nodiscard]] bool begins_key_after_brackets() const {
        std::size_t after = at_ + 1;
        const bool has_two = after < text_.size() && text_[after] == '[';
        if (has_two) ++after;
        after = text_.find_first_not_of(kBlanks, after);
        // The parser itself reports the fault at the end, at a closing bracket, and at a second one
        // after a blank.
        if (after >= text_.size()) return true;
        const char c = text_[after];
        return is_key_character(c) || c == '"' || c == '\'' || c == ']' || (c == '[' && !has_two);
    }

    /// Skips a string including its end; an unclosed one ends with its line.
    void pass_string(char quote) {
        const std::string three(3, quote);
        const bool is_long = text_.substr(at_, 3) == three;
        at_ += is_long ? 3 : 1;
        while (at_ < text_.size()) {
            const char c = text_[at_];
            if (c == '\\' && quote == '"') {
                at_ += 2;
            } else if (is_long ? text_.substr(at_, 3) == three : c == quote) {
                at_ += is_long ? 3 : 1;
                return;
            } else if (!is_long && c == '\n') {
                return;
            } else {
                ++at_;
            }
        }
    }

    std::string_view text_;
    std::size_t at_ = 0;
    int depth_ = 0;
    int dots_ = 0;  ///< in the current key or number
    bool at_line_start_ = true;
};

}  // namespace

Result<std::string> text_of_toml_file(const std::string& path, std::string_view what) {
    return text_of_file(path, "the " + std::string(what) + " " + path, kMaxTomlBytes);
}

Result<toml::table> read_toml_file(const std::string& path, std::string_view what) {
    const auto text = TRY(text_of_toml_file(path, what));
    return toml_of_text(text, path);
}

Result<toml::table> toml_of_text(const std::string& text, const std::string& path) {
    DepthCheck check(text);
    if (const std::string problem = check.problem(); !problem.empty())
        return fail(ErrorCode::bad_input, path + ":" + check.at() + ": " + problem);
    toml::parse_result result = toml::parse(text, path);
    if (!result) {
        const auto& at = result.error().source().begin;
        return fail(ErrorCode::bad_input,
                    path + ":" + std::to_string(at.line) + ":" + std::to_string(at.column) +
                        ": this is not TOML: " + std::string(result.error().description()));
    }
    return std::move(result).table();
}

}  // namespace thirstline
