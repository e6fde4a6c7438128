// The runs of a year for all zones of a site: month by month within the local rules, then within
// the water allowance.
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

/// The rules of each month, and those of them that apply to an exempt zone.
struct YearRules {
    Monthly<LocalRules> bound;
    Monthly<LocalRules> exempt;

    [[nodiscard]] const LocalRules& of(bool is_exempt, std::size_t month) const {
        return is_exempt ? exempt[month] : bound[month];
    }
};

struct ZoneYearSchedule {
    Monthly<ZoneRuns> runs;
    Monthly<double> gross_mm{};    ///< the need, within the season
    Monthly<double> applied_mm{};  ///< by the runs as set, within the season
    Monthly<std::optional<int>> interval_days;
    double base_days_per_week = 0.0;  ///< nominal, of the peak month before nights were shared
    /// The interval is longer than the soil's storage lasts without rain: the credited rain is
    /// relied on.
    Monthly<bool> rain_counted_on{};
    /// Depletion beyond the allowed depletion at the end of the longest interval, if it is too
    /// small to be a conflict; 0 elsewhere.
    Monthly<double> slight_overdraft_mm{};
    std::vector<Conflict> conflicts;
    Monthly<ZoneTask> tasks;              ///< the task of each month, for a whole month
    Monthly<std::vector<double>> starts;  ///< of cycles, minutes from the night's first
};

/// Share of the usable storage by which depletion may exceed it without a conflict. The published
/// ranges of available water are wider: 17 % to either side of the middle for the best-known
/// texture (sandy loam). Our own rule.
inline constexpr double kNegligibleOverdraft = 0.15;

struct YearSchedule {
    std::vector<ZoneYearSchedule> zones;  ///< in the order given
    Monthly<double> night_minutes{};      ///< of the layout of each month's nights
};

/// If the allowance is too small, all zones are cut by the same share of that month (or, for the
/// year's allowance, of every month). `season_share`: share of each month's days on which the
/// system is charged, 0 to 1. Conflicts are for the settings as entered; if these apply
/// kMinShareOfNeed or more, no amount is missing.
[[nodiscard]] YearSchedule year_schedule(const std::vector<ZoneDemand>& zones,
                                         const YearRules& rules, const Controller& controller,
                                         const Monthly<double>& season_share);

/// Share of each month's volume that the allowances permit, 0 to 1.
[[nodiscard]] Monthly<double> allowed_shares(const Monthly<double>& wanted_l,
                                             const std::optional<double>& monthly_l,
                                             const std::optional<double>& yearly_l);

}  // namespace thirstline
