#include "schema/text/plain_numbers.hpp"

#include <string>

#include "schema/geo/lat_lon.hpp"
#include "schema/text/double_text.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {

std::optional<double> plain_number(std::string_view text) {
    if (text.starts_with('+') && !text.starts_with("+-")) text.remove_prefix(1);
    return nearest_double(text);
}

Result<TypedElevation> parse_elevation(std::string_view text, LengthUnit bare) {
    const std::string whole(text.substr(0, 40));
    LengthUnit unit = bare;
    const auto take_suffix = [&text, &unit](std::string_view suffix, LengthUnit meant) {
        if (!text.ends_with(suffix)) return false;
        text.remove_suffix(suffix.size());
        unit = meant;
        return true;
    };
    take_suffix("ft", LengthUnit::foot) || take_suffix("m", LengthUnit::metre);
    while (text.ends_with(' ')) text.remove_suffix(1);
    constexpr double kMetresPerFoot = 0.3048;
    const auto number = plain_number(text);
    const double metres = number.value_or(0.0) * (unit == LengthUnit::foot ? kMetresPerFoot : 1.0);
    if (number && metres >= kLowestSiteM && metres <= kHighestSiteM) {
        return TypedElevation{static_cast<std::int32_t>(rounded_to_integer(metres, 0)), metres};
    }
    return fail(ErrorCode::usage,
                bare == LengthUnit::foot
                    ? "the elevation must be a height from -3280 to 32808 ft, not \"" + whole + "\""
                    : "the elevation must be a height from -1000 to 10000 m, not \"" + whole + "\"",
                whole.find_first_of(", ") == std::string::npos
                    ? "name the unit with it, such as 5280ft or 1609m"
                    : "write it without comma or space, such as 5280ft or 1609m");
}

Result<std::int32_t> parse_elevation_m(std::string_view text, LengthUnit bare) {
    return parse_elevation(text, bare).map([](const TypedElevation& typed) { return typed.m; });
}

}  // namespace thirstline
