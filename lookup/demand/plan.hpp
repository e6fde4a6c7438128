// The plan of a year: for each zone and month what the plants need, what rain and watering bring,
// and the runs that bring it. All numbers unrounded, in SI.
//
// Identities that hold in every month (days: kDaysInMonth):
//   net_mm = max(0, need_mm - effective_rain_mm)
//   gross_mm = net_mm * gross_per_net                       (what the need asks for)
//   applied_mm = minutes_per_week * days / 7 * rate / 60    (what the schedule brings)
//   minutes_per_week = days_per_week * cycles_per_day * minutes_per_cycle
//   short_mm = gross_mm - applied_mm: 0 unless a rule forbids more, which a Conflict then tells
//   volume_l = applied_mm * counted_area_m2
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/demand/assumption.hpp"
#include "lookup/demand/zone.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

struct ZoneMonth {
    double need_mm = 0.0;  ///< of the plants; 0 when dormant
    double effective_rain_mm = 0.0;
    double net_mm = 0.0;
    double gross_mm = 0.0;
    double applied_mm = 0.0;
    double short_mm = 0.0;
    double minutes_per_week = 0.0;
    double days_per_week = 0.0;  ///< on average: odd dates give about 3.5; 0.5 is every second week
    int cycles_per_day = 0;
    double minutes_per_cycle = 0.0;
    double soak_minutes = 0.0;          ///< between cycles, at least; 0 for one cycle
    std::optional<int> interval_days;   ///< longest safe, without rain; empty without need
    std::string day_names;              ///< "Mon, Wed, Fri", "every odd date"; empty without runs
    double percent_of_peak_need = 0.0;  ///< of the zone's greatest net need a day
    double percent_of_base_run = 0.0;   ///< minutes a day against the base run's: to enter with
                                        ///< this month's days
    double volume_l = 0.0;
    std::optional<double> cost;  ///< with a water price
    std::optional<double> l_per_plant_per_day;
    bool dormant = false;
};

/// Where a rule and the need collide. The schedule keeps the rule; this tells what it costs.
struct Conflict {
    int month = 1;           ///< 1 to 12
    std::string rule;        ///< the key of the zone file: "window_hours"
    std::string short_by;    ///< "42 min a day, 6.1 mm (0.24 in) a week"
    std::string would_help;  ///< "a fourth day"
    double short_mm = 0.0;   ///< gross depth of the month that is missing; 0 if only a day is
    double short_minutes_per_week = 0.0;
};

/// What to enter first: the runs of the zone's peak month.
struct BaseRun {
    double minutes_per_day = 0.0;
    int cycles_per_day = 0;
    double minutes_per_cycle = 0.0;
    double soak_minutes = 0.0;
    double days_per_week = 0.0;
    std::string day_names;
};

struct NewPlantingPlan {
    NewPlanting wanted;
    double minutes_per_run = 0.0;  ///< this and what follows: after run-off and the local rules
    int runs_per_day = 0;
    double days_per_week = 0.0;
    std::string day_names;
    double applied_mm_per_day = 0.0;
    double l_per_day = 0.0;
    std::optional<double> volume_l;  ///< if the first day is given; not in the year's volume
};

struct ZonePlan {
    std::string name;
    Assumptions assumed;
    double counted_area_m2 = 0.0;
    double rate_mm_per_h = 0.0;
    double flow_l_per_min = 0.0;
    double gross_per_net = 1.0;      ///< multiplier or 1/efficiency, and leaching
    double usable_storage_mm = 0.0;  ///< available water x root depth x allowed depletion
    std::optional<double> longest_cycle_minutes;  ///< before run-off; empty: none to be feared
    Monthly<ZoneMonth> months;
    std::optional<int> peak_need_month;    ///< 1 to 12, of net need a day; empty without any need
    std::optional<double> peak_net_se_mm;  ///< empty where the file has no errors
    std::optional<double> cautious_peak_net_mm;  ///< 80th percentile of what is not known of the
                                                 ///< mean; not a dry year
    BaseRun base_run;
    std::vector<Conflict> conflicts;
    int rain_shutoff_mm = 3;  ///< 3 to 19
    std::optional<NewPlantingPlan> new_planting;
    double volume_l = 0.0;  ///< of the year
    std::optional<double> cost;
};

/// One percentage a month for all zones of a controller: in each month the greatest share that any
/// zone needs, so that none gets too little.
struct ControllerCurve {
    Monthly<double> percent_of_peak_need{};
    Monthly<int> percent_to_enter{};  ///< rounded up to whole steps
    Monthly<std::string> set_by;      ///< the zone that needs that share; empty at 0
    /// For each zone, by month: gross depth that it gets above its own need.
    std::vector<Monthly<double>> too_much_mm;
    /// Some zone's run at that percentage would be too short to wet its roots: take the month's own
    /// days and percent_of_base_run instead.
    Monthly<bool> days_cut_first{};
};

inline constexpr int kPercentStep = 5;  ///< what can be entered on most controllers

struct YearTotals {
    double volume_l = 0.0;
    std::optional<double> cost;  ///< of watering; without fixed charges
};

struct SitePlan {
    std::optional<int> peak_need_month;  ///< the thirstiest zone's
    std::string thirstiest_zone;         ///< greatest net need a day; empty without any need
    ControllerCurve curve;
    YearTotals year;
    YearTotals fixed_all_season;          ///< the peak's runs in every month that has a need
    YearTotals fixed_all_year;            ///< the peak's runs in all twelve
    YearTotals saving;                    ///< fixed_all_season less year
    std::optional<double> fixed_charges;  ///< the year's, due with or without watering
    std::optional<double> longest_night_minutes;  ///< all zones in turn; empty without runs
    int rain_shutoff_mm = 3;  ///< one sensor for all: the greatest of the zones'
    Assumptions assumed;
};

struct DemandPlan {
    std::vector<ZonePlan> zones;  ///< as given
    SitePlan site;
    std::vector<std::string> cautions;  ///< whole sentences
};

}  // namespace thirstline
