#include "lookup/site_output/elevation_check.hpp"

#include <cmath>

#include "lookup/site_output/place_text.hpp"

namespace thirstline {

Result<std::optional<std::string>> elevation_warning(const SiteReport& report, UnitSystem units) {
    const std::optional<double>& terrain_m = report.profile.point.elevation_m;
    if (!report.query.elevation_m || !terrain_m) return std::nullopt;
    const double rise_m = *report.query.elevation_m - *terrain_m;
    if (std::abs(rise_m) <= kMaxRiseWithoutWarningM) return std::nullopt;
    const TextStyle style{units, false};
    const std::string sentence =
        "the elevation " +
        height_text(report.query.typed_elevation_m.value_or(*report.query.elevation_m), style) +
        " is " + height_text(std::abs(rise_m), style) + (rise_m > 0.0 ? " above" : " below") +
        " the terrain around the site, " + height_text(*terrain_m, style);
    if (std::abs(rise_m) > kMaxRiseM) {
        return fail(ErrorCode::usage,
                    sentence + "; the maximum adjustment is " + height_text(kMaxRiseM, style),
                    "compare the elevation with a map; name its unit, such as 5280ft or 1609m");
    }
    return sentence + "; check it, and its unit";
}

}  // namespace thirstline
