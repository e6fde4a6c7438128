#include "lookup/sql_extension/sql_arguments.hpp"

#include <cmath>

#include "schema/base/words.hpp"
#include "schema/geo/coordinates.hpp"
#include "schema/text/plain_numbers.hpp"

namespace thirstline {
namespace {

std::optional<double> number_of(const SqlValue& value) {
    if (const auto* integer = std::get_if<std::int64_t>(&value))
        return static_cast<double>(*integer);
    if (const auto* number = std::get_if<double>(&value)) return *number;
    if (const auto* text = std::get_if<std::string>(&value)) return plain_number(*text);
    return std::nullopt;
}

std::string shown(const SqlValue& value) {
    if (const auto* text = std::get_if<std::string>(&value)) return in_quotes(*text);
    if (const auto* integer = std::get_if<std::int64_t>(&value)) return std::to_string(*integer);
    if (const auto* number = std::get_if<double>(&value)) return std::to_string(*number);
    return "NULL";
}

}  // namespace

Result<LatLonE7> position_argument(const SqlValue& lat, const SqlValue& lon) {
    const auto* lat_text = std::get_if<std::string>(&lat);
    const auto* lon_text = std::get_if<std::string>(&lon);
    if (lat_text != nullptr && lon_text != nullptr) return parse_position(*lat_text, *lon_text);
    const auto lat_deg = TRY(number_argument(lat, "lat"));
    const auto lon_deg = TRY(number_argument(lon, "lon"));
    return checked_position({lat_deg, lon_deg});
}

Result<std::optional<std::int32_t>> elevation_argument(const SqlValue& value) {
    if (is_null(value)) return std::optional<std::int32_t>();
    if (const auto* text = std::get_if<std::string>(&value)) {
        const auto elevation_m = TRY(parse_elevation_m(*text));
        return std::optional<std::int32_t>(elevation_m);
    }
    const double elevation_m = number_of(value).value_or(NAN);
    if (!(elevation_m >= kLowestSiteM && elevation_m <= kHighestSiteM)) {
        return fail(ErrorCode::usage, "elevation_m is " + shown(value) + ", and must be " +
                                          std::to_string(kLowestSiteM) + " to " +
                                          std::to_string(kHighestSiteM) + " m");
    }
    return std::optional<std::int32_t>(static_cast<std::int32_t>(std::lround(elevation_m)));
}

Result<std::string> postal_code_argument(const SqlValue& value) {
    if (const auto* text = std::get_if<std::string>(&value)) return *text;
    return fail(ErrorCode::usage,
                "the postal code must be a text, not the number " + shown(value) +
                    ", which cannot have leading zeros",
                "for five digits use printf('%05d', code)");
}

Result<std::string> country_argument(const SqlValue& value) {
    if (is_null(value)) return std::string();
    if (const auto* text = std::get_if<std::string>(&value)) return *text;
    return fail(ErrorCode::usage, "the country must be two letters, not " + shown(value));
}

Result<double> number_argument(const SqlValue& value, const std::string& name) {
    const auto number = number_of(value);
    if (number && std::isfinite(*number)) return *number;
    return fail(ErrorCode::usage, name + " must be a number, not " + shown(value));
}

}  // namespace thirstline
