#include "lookup/demand/season_share.hpp"

#include <cstddef>

namespace thirstline {
namespace {

/// Days of the year in order; those of a leap year, so that 29 February has a place.
int place_of(const YearDay& day) {
    return day.month * 100 + day.day;
}

bool is_in_season(const Season& season, const YearDay& day) {
    const int start = place_of(season.start);
    const int stop = place_of(season.stop);
    const int place = place_of(day);
    if (start <= stop) return place >= start && place <= stop;
    return place >= start || place <= stop;
}

}  // namespace

Monthly<double> season_share(const std::optional<Season>& season, const SiteClimate& climate) {
    Monthly<double> shares{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (!season) {
            const std::optional<double>& tmin_c = climate.months[m].tmin_c;
            shares[m] = tmin_c && *tmin_c <= kShutOffMinimumC ? 0.0 : 1.0;
            continue;
        }
        const int days = kWholeDaysInMonth[m];
        int count = 0;
        for (int day = 1; day <= days; ++day) {
            if (is_in_season(*season, {static_cast<int>(m) + 1, day})) ++count;
        }
        shares[m] = static_cast<double>(count) / days;
    }
    return shares;
}

}  // namespace thirstline
