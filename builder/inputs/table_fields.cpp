#include "builder/inputs/table_fields.hpp"

#include <charconv>
#include <cmath>

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
    std::string_view text = trimmed(field);
    if (text.starts_with('+')) {
        text.remove_prefix(1);
        if (text.starts_with('-')) return std::nullopt;
    }
    double value = 0.0;
    const char* end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, value);
    if (error != std::errc{} || stop != end || !std::isfinite(value)) return std::nullopt;
    return value;
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
