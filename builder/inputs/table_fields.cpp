#include "builder/inputs/table_fields.hpp"

#include <charconv>
#include <cmath>
#include <utility>

#include "schema/geo/coordinates.hpp"

namespace thirstline {

namespace {

constexpr std::string_view kBlanks = " \t\r";
constexpr std::string_view kNoBreakSpace = "\u00A0";

std::string_view trimmed(std::string_view text) {
    while (true) {
        const auto first = text.find_first_not_of(kBlanks);
        if (first == std::string_view::npos) return {};
        text = text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
        if (text.starts_with(kNoBreakSpace)) {
            text.remove_prefix(kNoBreakSpace.size());
        } else if (text.ends_with(kNoBreakSpace)) {
            text.remove_suffix(kNoBreakSpace.size());
        } else {
            return text;
        }
    }
}

}  // namespace

std::string trimmed_field(std::string_view field) {
    return std::string(trimmed(field));
}

std::optional<double> number_in_field(std::string_view field) {
    const auto found = number_with_unit(field);
    return found && found->unit.empty() ? std::optional(found->number) : std::nullopt;
}

std::optional<NumberWithUnit> number_with_unit(std::string_view field) {
    std::string_view text = trimmed(field);
    if (text.starts_with('+')) {
        text.remove_prefix(1);
        if (text.starts_with('-')) return std::nullopt;
    }
    NumberWithUnit found;
    const char* end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, found.number);
    if (error != std::errc{} || !std::isfinite(found.number)) return std::nullopt;
    found.unit = trimmed({stop, static_cast<std::size_t>(end - stop)});
    if (found.unit.find_first_of("0123456789.,/-+:") == 0) return std::nullopt;
    return found;
}

std::string with_decimal_point(std::string field) {
    const auto comma = field.find(',');
    if (comma != std::string::npos && field.find('.') == std::string::npos) field[comma] = '.';
    return field;
}

std::string with_decimal_point(std::string field, const TableFormat& format) {
    return format.decimal_comma ? with_decimal_point(std::move(field)) : field;
}

tl::expected<LatLon, std::string> position_in_fields(std::string_view lat, std::string_view lon) {
    const auto position = parse_position(trimmed(lat), trimmed(lon));
    if (!position) {
        const bool are_numbers = number_in_field(lat) && number_in_field(lon);
        return tl::unexpected<std::string>(are_numbers ? "position is impossible"
                                                       : "position cannot be read");
    }
    if (*position == LatLonE7{}) return tl::unexpected<std::string>("position is impossible");
    return to_degrees(*position);
}

}  // namespace thirstline
