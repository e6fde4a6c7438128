#include "lookup/demand/season_share.hpp"

#include <cstddef>

namespace thirstline {
Monthly<double> season_share(const std::optional<Season>& season, const SiteClimate& climate) {
    Monthly<double> shares{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (!season) {
            const std::optional<double>& tmin_c = climate.months[m].tmin_c;
            shares[m] = tmin_c && *tmin_c <= kShutOffMinimumC ? 0.0 : 1.0;
            continue;
        }
        const int days = days_of_month_within({season->start, season->stop}, static_cast<int>(m));
        shares[m] = static_cast<double>(days) / kWholeDaysInMonth[m];
    }
    return shares;
}

}  // namespace thirstline
