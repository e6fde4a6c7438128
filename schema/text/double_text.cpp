#include "schema/text/double_text.hpp"

#include <array>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstdlib>

namespace thirstline {
namespace {

constexpr int kMaxDigits = 17;                             // distinguish any two doubles
constexpr double kAllWholeNumbersTo = 9007199254740992.0;  // 2^53

/// "d.ddde±xx" with that many digits.
std::string scientific(double value, int digits) {
    std::array<char, 40> text{};
    std::snprintf(text.data(), text.size(), "%.*e", digits - 1, value);
    return text.data();
}

/// All digits of a whole number, without a decimal point.
std::string whole_number(double value) {
    std::array<char, 40> text{};
    std::snprintf(text.data(), text.size(), "%.0f", value);
    return text.data();
}

/// The digits of a positive number without the point, and the power of ten of the first digit.
struct Decimal {
    std::string digits;
    int exponent = 0;
};

Decimal decimal_of(const std::string& scientific_text) {
    const std::size_t e = scientific_text.find('e');
    Decimal decimal{scientific_text.substr(0, e), std::atoi(scientific_text.c_str() + e + 1)};
    if (decimal.digits.size() > 1) decimal.digits.erase(1, 1);
    return decimal;
}

std::string fixed_form(const Decimal& decimal) {
    const auto count = static_cast<int>(decimal.digits.size());
    if (decimal.exponent < 0) {
        return "0." + std::string(static_cast<std::size_t>(-decimal.exponent - 1), '0') +
               decimal.digits;
    }
    const int before_point = decimal.exponent + 1;
    if (before_point >= count)
        return decimal.digits + std::string(static_cast<std::size_t>(before_point - count), '0');
    std::string out = decimal.digits;
    return out.insert(static_cast<std::size_t>(before_point), 1, '.');
}

}  // namespace

std::string shortest_text_by_printf(double value) {
    const double size = std::fabs(value);
    std::string text = "0";
    if (size > 0.0) {
        int digits = 1;
        std::string shortest = scientific(size, digits);
        while (digits < kMaxDigits && std::strtod(shortest.c_str(), nullptr) != size)
            shortest = scientific(size, ++digits);
        text = fixed_form(decimal_of(shortest));
        if (shortest.size() < text.size()) {
            text = shortest;
        } else if (size > kAllWholeNumbersTo) {
            text = whole_number(size);
        }
    }
    return std::signbit(value) ? "-" + text : text;
}

std::optional<double> nearest_double_by_strtod(const std::string& text) {
    if (text.empty() || text.find_first_not_of("-.0123456789") != std::string::npos) return {};
    char* stop = nullptr;
    const double value = std::strtod(text.c_str(), &stop);
    if (stop != text.c_str() + text.size() || !std::isfinite(value)) return {};
    return value;
}

#if defined(__cpp_lib_to_chars)

std::string shortest_text(double value) {
    std::array<char, 32> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr;
    return {digits.data(), end};
}

std::optional<double> nearest_double(std::string_view text) {
    // from_chars would accept "nan", "inf" and "infinity".
    if (text.empty() || text.find_first_not_of("-.0123456789") != std::string_view::npos) return {};
    double value = 0.0;
    const char* const end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, value, std::chars_format::fixed);
    if (error != std::errc{} || stop != end) return {};
    return value;
}

#else

std::string shortest_text(double value) {
    return shortest_text_by_printf(value);
}

std::optional<double> nearest_double(std::string_view text) {
    return nearest_double_by_strtod(std::string(text));
}

#endif

}  // namespace thirstline
