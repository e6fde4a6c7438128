#include "schema/text/plain_numbers.hpp"

#include <string>

#include "schema/text/double_text.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

constexpr double kLowestElevationM = -500.0;  // the shore of the Dead Sea lies at -430
constexpr double kHighestElevationM = 9000.0;

}  // namespace

std::optional<double> plain_number(std::string_view text) {
    if (text.starts_with('+') && !text.starts_with("+-")) text.remove_prefix(1);
    return nearest_double(text);
}

Result<std::int32_t> parse_elevation_m(std::string_view text) {
    const auto metres = plain_number(text);
    if (metres && *metres >= kLowestElevationM && *metres <= kHighestElevationM) {
        return static_cast<std::int32_t>(rounded_to_integer(*metres, 0));
    }
    return fail(ErrorCode::usage, "the elevation \"" + std::string(text.substr(0, 40)) +
                                      "\" is no number of metres from -500 to 9000");
}

}  // namespace thirstline
