#include "schema/database/postal_codes.hpp"

#include <algorithm>

#include "schema/base/words.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kLongestCode = 16;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}
bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

/// Trimmed, upper case, each run of inner blanks one blank.
std::string tidied(std::string_view text) {
    std::string out;
    bool blank_waits = false;
    for (const char c : text) {
        if (is_blank(c)) {
            blank_waits = !out.empty();
            continue;
        }
        if (blank_waits) out.push_back(' ');
        blank_waits = false;
        out.push_back(ascii_upper(c));
    }
    return out;
}

/// Without blanks and hyphens.
std::string joined(std::string_view text) {
    std::string out;
    for (const char c : text)
        if (!is_blank(c) && c != '-') out.push_back(ascii_upper(c));
    return out;
}

bool all_digits(std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), is_digit);
}

/// 'A' matches a letter, '9' a digit, anything else itself.
bool has_shape(std::string_view text, std::string_view shape) {
    if (text.size() != shape.size()) return false;
    for (std::size_t i = 0; i < shape.size(); ++i) {
        const bool fits = shape[i] == 'A'   ? is_letter(text[i])
                          : shape[i] == '9' ? is_digit(text[i])
                                            : text[i] == shape[i];
        if (!fits) return false;
    }
    return true;
}

Result<std::string> us_code(std::string_view text) {
    const std::string code = tidied(text);
    for (const std::string_view shape : {"99999", "99999-9999", "99999 9999", "999999999"}) {
        if (has_shape(code, shape)) return code.substr(0, 5);
    }
    return fail(ErrorCode::usage,
                in_quotes(text, 40) + " is not a valid US postal code; use five or nine digits",
                lost_zero_hint(text));
}

Result<std::string> canadian_code(std::string_view text) {
    const std::string code = joined(text);
    if (has_shape(code, "A9A9A9") || has_shape(code, "A9A")) return code.substr(0, 3);
    return fail(
        ErrorCode::usage,
        in_quotes(text, 40) + " is not a valid CA postal code; use a form such as K1A 0B1 or K1A");
}

Result<std::string> mexican_code(std::string_view text) {
    std::string code = tidied(text);
    if (has_shape(code, "99999")) return code;
    return fail(ErrorCode::usage,
                in_quotes(text, 40) + " is not a valid MX postal code; use five digits",
                lost_zero_hint(text));
}

Result<std::string> other_code(std::string_view text) {
    std::string code = tidied(text);
    const bool plausible =
        code.size() <= kLongestCode && std::all_of(code.begin(), code.end(), [](char c) {
            return is_digit(c) || is_letter(c) || c == ' ' || c == '-';
        });
    if (code.empty()) return fail(ErrorCode::usage, "the postal code is empty");
    if (!plausible)
        return fail(ErrorCode::usage, in_quotes(text, 40) + " is not a valid postal code");
    return code;
}

}  // namespace

Result<std::string> normalised_country(std::string_view text) {
    std::string country = tidied(text);
    if (has_shape(country, "AA")) return country;
    return fail(ErrorCode::usage,
                in_quotes(text, 40) + " is not a valid country code; use two letters",
                "the codes are those of ISO 3166, such as US, CA or MX");
}

Result<std::string> normalised_postal_code(std::string_view country, std::string_view text) {
    if (country == "US") return us_code(text);
    if (country == "CA") return canadian_code(text);
    if (country == "MX") return mexican_code(text);
    return other_code(text);
}

Result<std::vector<std::string>> possible_postal_codes(std::string_view text) {
    const auto as_written = TRY(other_code(text));
    std::vector<std::string> codes{as_written};
    for (const std::string_view country : {"US", "CA", "MX"}) {
        const auto code = normalised_postal_code(country, text);
        if (code && std::find(codes.begin(), codes.end(), *code) == codes.end())
            codes.push_back(*code);
    }
    return codes;
}

std::optional<CodeInCountry> code_in_country(std::string_view text) {
    const std::string all = tidied(text);
    constexpr std::string_view kBetween = " ,-";
    const auto is_country = [](std::string_view word) { return has_shape(word, "AA"); };
    const std::size_t first_end = all.find_first_of(kBetween);
    if (first_end == std::string::npos) return std::nullopt;
    const std::size_t second = all.find_first_not_of(kBetween, first_end);
    const std::string before = all.substr(0, first_end);
    if (is_country(before) && second != std::string::npos)
        return CodeInCountry{before, all.substr(second)};
    const std::size_t last = all.find_last_of(kBetween) + 1;
    const std::string after = all.substr(last);
    const std::size_t code_end = all.find_last_not_of(kBetween, last - 1);
    if (is_country(after) && code_end != std::string::npos)
        return CodeInCountry{after, all.substr(0, code_end + 1)};
    return std::nullopt;
}

bool is_meant_by(const PostalPlace& place, std::string_view text) {
    const auto code = normalised_postal_code(place.country, text);
    return code && *code == place.code;
}

Result<std::vector<PostalPlace>> places_meant_by(Database& database, std::string_view text) {
    const auto codes = TRY(possible_postal_codes(text));
    std::vector<PostalPlace> meant;
    for (const std::string& code : codes) {
        auto places = TRY(database.postal_places(code));
        for (PostalPlace& place : places)
            if (is_meant_by(place, text)) meant.push_back(std::move(place));
    }
    return meant;
}

std::string lost_zero_hint(std::string_view text) {
    std::string digits = joined(text);
    if (!all_digits(digits)) return {};
    if (digits.size() == 3 || digits.size() == 4) {
        digits.insert(0, 5 - digits.size(), '0');
    } else if (digits.size() == 8) {
        digits = "0" + digits.substr(0, 4);
    } else {
        return {};
    }
    return "spreadsheets drop a leading zero: did you mean " + digits + "?";
}

}  // namespace thirstline
