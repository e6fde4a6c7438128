#include "schema/text/plain_numbers.hpp"

#include <string>

#include "schema/geo/lat_lon.hpp"
#include "schema/text/double_text.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {}  // namespace

std::optional<double> plain_number(std::string_view text) {
    if (text.starts_with('+') && !text.starts_with("+-")) text.remove_prefix(1);
    return nearest_double(text);
}

Result<std::int32_t> parse_elevation_m(std::string_view text) {
    const auto metres = plain_number(text);
    if (metres && *metres >= kLowestSiteM && *metres <= kHighestSiteM)
        return static_cast<std::int32_t>(rounded_to_integer(*metres, 0));
    return fail(ErrorCode::usage, "the elevation \"" + std::string(text.substr(0, 40)) +
                                      "\" must be a number of metres from -1000 to 10000");
}

}  // namespace thirstline
