#include "schema/geo/coordinates.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "schema/base/words.hpp"

namespace thirstline {
namespace {

enum class Kind { number, degree, minute, second, letter, separator };

struct Token {
    Kind kind = Kind::number;
    double value = 0.0;  ///< absolute value
    char sign = 0;       ///< '+', '-' or none
    bool whole = true;   ///< no decimal point
    char letter = 0;     ///< N S E W
};

struct Angle {
    double degrees = 0.0;
    char letter = 0;  ///< N S E W or none
};

struct Spelling {
    std::string_view bytes;
    Kind kind;
};

constexpr std::array kMarks{
    Spelling{"°", Kind::degree},  Spelling{"º", Kind::degree},    Spelling{"˚", Kind::degree},
    Spelling{"''", Kind::second}, Spelling{"′′", Kind::second},   Spelling{"″", Kind::second},
    Spelling{"”", Kind::second},  Spelling{"“", Kind::second},    Spelling{"\"", Kind::second},
    Spelling{"'", Kind::minute},  Spelling{"′", Kind::minute},    Spelling{"’", Kind::minute},
    Spelling{"‘", Kind::minute},  Spelling{",", Kind::separator}, Spelling{";", Kind::separator},
};
constexpr std::array<std::string_view, 4> kBlanks{" ", "\t", "\u00A0", "\u202F"};
constexpr std::string_view kMinusSign = "\u2212";

/// An integer of this many digits is exact in a double, as are these powers of ten.
constexpr std::size_t kExactDigits = 15;
constexpr std::array<double, kExactDigits + 1> kExactPowersOfTen{
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// Removes `prefix` from the front of `text` if it is there.
bool take(std::string_view& text, std::string_view prefix) {
    if (!text.starts_with(prefix)) return false;
    text.remove_prefix(prefix.size());
    return true;
}

bool take_blank(std::string_view& text) {
    for (const std::string_view blank : kBlanks)
        if (take(text, blank)) return true;
    return false;
}

std::optional<Token> take_number(std::string_view& text) {
    std::string_view rest = text;
    Token token;
    if (take(rest, "-") || take(rest, kMinusSign)) {
        token.sign = '-';
    } else if (take(rest, "+")) {
        token.sign = '+';
    }
    std::size_t length = 0;
    std::size_t points = 0;
    std::size_t decimals = 0;
    std::uint64_t digits = 0;  // all of them as one integer, if there are few enough
    for (; length < rest.size(); ++length) {
        if (rest[length] == '.') {
            ++points;
        } else if (is_digit(rest[length])) {
            digits = digits * 10 + static_cast<std::uint64_t>(rest[length] - '0');
            decimals += points;
        } else {
            break;
        }
    }
    if (points > 1 || length == points) return std::nullopt;
    if (length - points <= kExactDigits) {
        // Both are exact, so the quotient is the double nearest to the written number.
        token.value = static_cast<double>(digits) / kExactPowersOfTen[decimals];
    } else {
        const auto [end, error] = std::from_chars(rest.data(), rest.data() + length, token.value,
                                                  std::chars_format::fixed);
        if (error != std::errc{} || end != rest.data() + length) return std::nullopt;
    }
    token.whole = points == 0;
    rest.remove_prefix(length);
    text = rest;
    return token;
}

std::optional<Token> take_mark_or_letter(std::string_view& text) {
    for (const Spelling& mark : kMarks) {
        if (take(text, mark.bytes)) return Token{.kind = mark.kind};
    }
    const char upper = static_cast<char>(text.front() & ~0x20);
    if (upper == 'N' || upper == 'S' || upper == 'E' || upper == 'W') {
        text.remove_prefix(1);
        return Token{.kind = Kind::letter, .letter = upper};
    }
    return std::nullopt;
}

/// Nothing if a character belongs to no token.
std::optional<std::vector<Token>> tokens_of(std::string_view text) {
    std::vector<Token> tokens;
    while (!text.empty()) {
        if (take_blank(text)) continue;
        std::optional<Token> token = take_number(text);
        if (!token) token = take_mark_or_letter(text);
        if (!token) return std::nullopt;
        tokens.push_back(*token);
    }
    return tokens;
}

using Tokens = std::span<const Token>;

/// [letter] degrees [°] [minutes ['] [seconds ["]]] [letter], and nothing else.
std::optional<Angle> angle_of(Tokens tokens) {
    Angle angle;
    if (!tokens.empty() && tokens.front().kind == Kind::letter) {
        angle.letter = tokens.front().letter;
        tokens = tokens.subspan(1);
    }
    if (!tokens.empty() && tokens.back().kind == Kind::letter) {
        if (angle.letter != 0) return std::nullopt;
        angle.letter = tokens.back().letter;
        tokens = tokens.first(tokens.size() - 1);
    }
    if (tokens.empty()) return std::nullopt;

    constexpr std::array kParts{Kind::degree, Kind::minute, Kind::second};
    constexpr std::array kPartsOfADegree{1.0, 60.0, 3600.0};
    const char sign = tokens.front().sign;
    bool last_was_whole = true;
    for (std::size_t part = 0; !tokens.empty(); ++part) {
        if (part == kParts.size()) return std::nullopt;
        const Token& number = tokens.front();
        if (number.kind != Kind::number || !last_was_whole) return std::nullopt;
        if (part > 0 && (number.sign != 0 || number.value >= 60.0)) return std::nullopt;
        last_was_whole = number.whole;
        angle.degrees += number.value / kPartsOfADegree[part];
        tokens = tokens.subspan(1);
        if (!tokens.empty() && tokens.front().kind == kParts[part]) tokens = tokens.subspan(1);
    }
    if (sign != 0 && angle.letter != 0) return std::nullopt;
    if (sign == '-' || angle.letter == 'S' || angle.letter == 'W') angle.degrees = -angle.degrees;
    return angle;
}

std::size_t count_of(Tokens tokens, Kind kind) {
    std::size_t count = 0;
    for (const Token& token : tokens) count += token.kind == kind ? 1 : 0;
    return count;
}

/// Index of the `n`-th (from 0) token of that kind; the number of tokens if there is none.
std::size_t index_of(Tokens tokens, Kind kind, std::size_t n) {
    for (std::size_t i = 0; i < tokens.size(); ++i)
        if (tokens[i].kind == kind && n-- == 0) return i;
    return tokens.size();
}

struct Halves {
    Tokens first;
    Tokens second;
};

/// Splits the tokens into latitude and longitude.
std::optional<Halves> halves_of(Tokens tokens) {
    const std::size_t separators = count_of(tokens, Kind::separator);
    if (separators > 1 || tokens.empty()) return std::nullopt;
    if (separators == 1) {
        const std::size_t at = index_of(tokens, Kind::separator, 0);
        return Halves{tokens.first(at), tokens.subspan(at + 1)};
    }
    std::size_t at = tokens.size();
    if (tokens.front().kind == Kind::letter) {
        at = index_of(tokens, Kind::letter, 1);
    } else if (count_of(tokens, Kind::letter) > 0) {
        at = index_of(tokens, Kind::letter, 0) + 1;
    } else if (count_of(tokens, Kind::degree) == 2) {
        at = index_of(tokens, Kind::degree, 1) - 1;
    } else {
        const std::size_t numbers = count_of(tokens, Kind::number);
        if (numbers % 2 == 0) at = index_of(tokens, Kind::number, numbers / 2);
    }
    if (at == 0 || at >= tokens.size()) return std::nullopt;
    return Halves{tokens.first(at), tokens.subspan(at)};
}

constexpr std::string_view kFormHint =
    "latitude comes first: 44.45,-37.59 or 44.45N 37.59W or 44°27'00\"N 37°35'24\"W";

Result<LatLonE7> position_of(const Angle& lat, const Angle& lon, const std::string& written) {
    const bool letters_swapped =
        lat.letter == 'E' || lat.letter == 'W' || lon.letter == 'N' || lon.letter == 'S';
    const double lat_size = std::fabs(lat.degrees);
    const double lon_size = std::fabs(lon.degrees);
    if (letters_swapped || (lat_size > 90.0 && lat_size <= 180.0 && lon_size <= 90.0)) {
        return fail(ErrorCode::usage,
                    "latitude and longitude look swapped in " + written +
                        ": the first number is the latitude",
                    std::string(kFormHint));
    }
    if (lat_size > 90.0) {
        return fail(ErrorCode::usage,
                    "the latitude in " + written + " is outside -90 to 90 degrees");
    }
    if (lon_size > 180.0) {
        return fail(ErrorCode::usage,
                    "the longitude in " + written + " is outside -180 to 180 degrees",
                    lon_size <= 360.0 ? "west of Greenwich longitude is negative" : "");
    }
    return to_e7(LatLon{lat.degrees, lon.degrees});
}

tl::unexpected<Error> unreadable(const std::string& written) {
    return fail(ErrorCode::usage, written + " cannot be read as a latitude and a longitude",
                std::string(kFormHint));
}

/// The common case in a table, without building tokens.
std::optional<Angle> plain_decimal(std::string_view text) {
    while (take_blank(text)) {
    }
    const std::optional<Token> number = take_number(text);
    if (!number) return std::nullopt;
    while (take_blank(text)) {
    }
    if (!text.empty()) return std::nullopt;
    return Angle{.degrees = number->sign == '-' ? -number->value : number->value};
}

std::optional<Angle> single_angle(std::string_view text) {
    if (const auto plain = plain_decimal(text)) return plain;
    const auto tokens = tokens_of(text);
    if (!tokens) return std::nullopt;
    return angle_of(*tokens);
}

}  // namespace

Result<LatLonE7> parse_position(std::string_view text) {
    const auto tokens = tokens_of(text);
    if (!tokens) return unreadable(in_quotes(text));
    if (count_of(*tokens, Kind::separator) > 1) {
        return fail(ErrorCode::usage, in_quotes(text) + " has more than one comma",
                    "use decimal points, and one comma between the two: 44.45,-37.59");
    }
    const auto halves = halves_of(*tokens);
    if (!halves) return unreadable(in_quotes(text));
    const auto lat = angle_of(halves->first);
    const auto lon = angle_of(halves->second);
    if (!lat || !lon) return unreadable(in_quotes(text));
    return position_of(*lat, *lon, in_quotes(text));
}

Result<LatLonE7> parse_position(std::string_view lat_text, std::string_view lon_text) {
    const auto lat = single_angle(lat_text);
    if (!lat)
        return fail(ErrorCode::usage, "the latitude " + in_quotes(lat_text) + " is not a number");
    const auto lon = single_angle(lon_text);
    if (!lon)
        return fail(ErrorCode::usage, "the longitude " + in_quotes(lon_text) + " is not a number");
    const bool sound = std::fabs(lat->degrees) <= 90.0 && std::fabs(lon->degrees) <= 180.0 &&
                       lat->letter == 0 && lon->letter == 0;
    if (sound) return to_e7(LatLon{lat->degrees, lon->degrees});
    return position_of(*lat, *lon, in_quotes(std::string(lat_text) + "," + std::string(lon_text)));
}

Result<LatLonE7> checked_position(LatLon position) {
    if (!std::isfinite(position.lat_deg) || !std::isfinite(position.lon_deg)) {
        return fail(ErrorCode::usage,
                    std::string("the ") +
                        (std::isfinite(position.lat_deg) ? "longitude" : "latitude") +
                        " is not a finite number");
    }
    if (std::fabs(position.lat_deg) <= 90.0 && std::fabs(position.lon_deg) <= 180.0)
        return to_e7(position);
    std::array<char, 32> text{};
    const auto shortest = [&text](double degrees) {
        return std::string(text.data(),
                           std::to_chars(text.data(), text.data() + text.size(), degrees).ptr);
    };
    const std::string written = shortest(position.lat_deg) + "," + shortest(position.lon_deg);
    return position_of(Angle{.degrees = position.lat_deg}, Angle{.degrees = position.lon_deg},
                       in_quotes(written));
}

}  // namespace thirstline
