// The runs of a year for all zones of a site: month by month within the local rules, then within
// the water that may be used.
#pragma once

#include <optional>
#include <vector>

#include "lookup/demand/controller.hpp"
#include "lookup/demand/local_rules.hpp"
#include "lookup/demand/month_schedule.hpp"
#include "lookup/demand/net_need.hpp"
#include "lookup/demand/plan.hpp"
#include "lookup/demand/zone_numbers.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

struct ZoneDemand {
    ZoneNumbers numbers;
    YearNeed need;
    bool is_exempt = false;  ///< from the rules on days, depth, minutes and cycles
};

/// The rules of each month, and what of them binds an exempt zone.
struct YearRules {
    Monthly<LocalRules> bound;
    Monthly<LocalRules> exempt;

    [[nodiscard]] const LocalRules& of(bool is_exempt, std::size_t month) const {
        return is_exempt ? exempt[month] : bound[month];
    }
};

struct ZoneYearSchedule {
    Monthly<ZoneRuns> runs;
    Monthly<double> gross_mm{};    ///< what the need asks for, within the season
    Monthly<double> applied_mm{};  ///< what the keyed runs bring, within the season
    Monthly<std::optional<int>> interval_days;
    double base_days_per_week = 0.0;  ///< nominal, of the peak month before nights were shared
    /// The wait is longer than the soil lasts without rain: the credited rain is counted on.
    Monthly<bool> rain_counted_on{};
    /// How far beyond the allowed depletion the longest wait draws the soil where that is too
    /// little to be a conflict; 0 elsewhere.
    Monthly<double> slight_overdraft_mm{};
    std::vector<Conflict> conflicts;
    Monthly<ZoneTask> tasks;              ///< what each month asked for, as of a whole month
    Monthly<std::vector<double>> starts;  ///< of cycles, minutes from the night's first
};

/// Share of the usable storage by which the soil may be drawn beyond it without a conflict: the
/// published ranges of available water are wider, 17 % to either side of the middle for the texture
/// known best (sandy loam). Our own rule.
inline constexpr double kNegligibleOverdraft = 0.15;

struct YearSchedule {
    std::vector<ZoneYearSchedule> zones;  ///< as given
    Monthly<double> night_minutes{};      ///< of the layout of each month's nights
};

/// Where the allowance is too small, all zones give up the same share of that month (or, for the
/// year's allowance, of every month).
/// `season_share`: of each month's days those on which the system is charged, 0 to 1. Conflicts are
/// of the settings as keyed; where those bring kMinShareOfNeed or more, no amount is missing.
[[nodiscard]] YearSchedule year_schedule(const std::vector<ZoneDemand>& zones,
                                         const YearRules& rules, const Controller& controller,
                                         const Monthly<double>& season_share);

/// Share of each month's volume that the allowances leave, 0 to 1.
[[nodiscard]] Monthly<double> allowed_shares(const Monthly<double>& wanted_l,
                                             const std::optional<double>& monthly_l,
                                             const std::optional<double>& yearly_l);

}  // namespace thirstline
