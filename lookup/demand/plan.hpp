// The plan of a year: for each zone and month the need of the plants, the effective rain, the
// settings of the controller, and the water that they apply. All numbers are unrounded and in SI;
// run times are whole steps of the controller.
//
// Identities that hold in every month (days: kDaysInMonth):
//   net_mm = max(0, need_mm - effective_rain_mm)
//   gross_mm = net_mm * gross_per_net * season_share        (what the need asks for)
//   minutes_per_week = days_per_week * cycles_per_day * minutes_per_cycle
//   applied_mm = minutes_per_week * days / 7 * season_share * rate / 60   (what the settings bring)
//   applied_mm = gross_mm - short_mm + excess_mm, of which one is 0
//   volume_l = applied_mm * counted_area_m2
// by percentage, in a month in which the zone is on:
//   by_percentage.applied_mm = base_run.minutes_per_day * percent / 100
//                              * by_percentage.days_in_month * rate / 60
// Where short_mm is more than 5 % of gross_mm, a Conflict or `off` says why.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/demand/assumption.hpp"
#include "lookup/demand/watering_days.hpp"
#include "lookup/demand/zone.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

/// Why a zone is off in a month.
enum class Off {
    no,
    dormant,
    no_need,
    out_of_season,
    small_need,  ///< less than one watering day of kShortestDayMinutes in four weeks
    rules,       ///< the rules allow no run: a Conflict says which
};

/// The result of the base run at the program's percentage.
struct PercentageMonth {
    int percent = 0;             ///< of the program; 0 where the zone is off
    double days_in_month = 0.0;  ///< of the base run, or as the month's rules allow, within the
                                 ///< season
    Phrase day_names;            ///< empty if the zone is off
    std::vector<double> start_minutes;  ///< of cycles, as in ZoneMonth
    double applied_mm = 0.0;
    double short_mm = 0.0;
    double excess_mm = 0.0;
    double volume_l = 0.0;
};

struct ZoneMonth {
    double need_mm = 0.0;  ///< of the plants; 0 when dormant
    double effective_rain_mm = 0.0;
    double net_mm = 0.0;
    double gross_mm = 0.0;
    double applied_mm = 0.0;
    double short_mm = 0.0;
    double excess_mm = 0.0;
    double wanted_minutes_per_week = 0.0;  ///< needed for gross_mm
    double minutes_per_week = 0.0;         ///< as set; all that follows too
    double days_per_week = 0.0;  ///< on average: odd dates give about 3.5; 0.5 is every second week
    int cycles_per_day = 0;
    double minutes_per_cycle = 0.0;
    double soak_minutes = 0.0;         ///< between cycles, at least; 0 for one cycle
    std::optional<int> interval_days;  ///< longest safe, without rain; empty if there is no need
    Phrase day_names;                  ///< "Mon, Wed, Fri", "every odd date"; empty without runs
    DayPattern days;                   ///< the same; without slots where there are no runs
    /// Start of its cycles, in minutes after midnight of the watering day; 1440 and more is the
    /// next day. Empty without runs.
    std::vector<double> start_minutes;
    double percent_of_peak_need = 0.0;  ///< of the zone's greatest net need per day
    PercentageMonth by_percentage;
    Off off = Off::no;
    double volume_l = 0.0;
    std::optional<double> cost;  ///< with a water price
    std::optional<double> l_per_plant_per_day;
    bool dormant = false;
};

/// A rule that keeps the settings below the need. The schedule follows the rule.
struct Conflict {
    int month = 1;          ///< 1 to 12
    std::string rule;       ///< the key of the zone file: "window_hours"
    Phrase short_by;        ///< "42 min a day, 6.1 mm (0.24 in) a week"
    Phrase remedy;          ///< "a fourth day"
    double short_mm = 0.0;  ///< gross depth of the month that is missing; 0 if only a day is
    double short_minutes_per_week = 0.0;
    double drawn_mm = 0.0;            ///< beyond the allowable depletion, if intervals are too long
    bool is_of_new_planting = false;  ///< of its establishment runs, not of the month's
};

/// The runs of the zone's peak month (100%), as set on the controller; to be entered first.
struct BaseRun {
    int program = 0;  ///< 1 or more; 0 without runs
    double minutes_per_day = 0.0;
    int cycles_per_day = 0;
    double minutes_per_cycle = 0.0;
    double soak_minutes = 0.0;
    double days_per_week = 0.0;
    Phrase day_names;
    std::vector<double> start_minutes;                 ///< as in ZoneMonth
    std::optional<double> l_per_plant = std::nullopt;  ///< of a watering day
};

struct NewPlantingPlan {
    NewPlanting wanted;
    double minutes_per_run = 0.0;  ///< this and what follows: after run-off and the local rules
    int runs_per_day = 0;
    double days_per_week = 0.0;
    Phrase day_names;
    double applied_mm_per_watering_day = 0.0;
    double l_per_watering_day = 0.0;
    std::optional<int> watering_days;  ///< from the first day to the last, by the calendar
    std::optional<double> volume_l;    ///< if the first day is given; not in the year's volume
};

struct ZonePlan {
    std::string name;
    Assumptions assumed;
    double counted_area_m2 = 0.0;
    double rate_mm_per_h = 0.0;
    double flow_l_per_min = 0.0;
    double gross_per_net = 1.0;      ///< multiplier or 1/efficiency, and leaching
    double usable_storage_mm = 0.0;  ///< available water x root depth x allowed depletion
    std::optional<double> longest_cycle_minutes;  ///< before run-off; empty if there is no run-off
    Monthly<ZoneMonth> months;
    std::optional<int> peak_need_month;    ///< 1 to 12, of net need per day; empty if there is no
                                           ///< need
    std::optional<double> peak_net_se_mm;  ///< empty if the file has no errors
    std::optional<double> cautious_peak_net_mm;  ///< 80th percentile of the uncertainty of the
                                                 ///< mean; not a dry year
    BaseRun base_run;
    std::vector<Conflict> conflicts;
    int rain_shutoff_mm = 3;  ///< 3 to 19
    std::optional<NewPlantingPlan> new_planting;
    double volume_l = 0.0;  ///< of the year
    std::optional<double> cost;
};

/// Zones that share their days and a monthly percentage.
struct ProgramPlan {
    int number = 1;
    std::vector<std::string> zones;
    Phrase day_names;              ///< of the base runs
    Monthly<Phrase> day_names_of;  ///< of each month; empty at 0
    Monthly<int> percent{};        ///< steps of the controller; 0: off
    Monthly<std::string> set_by;   ///< the zone of the highest need that month; empty at 0
};

/// From the first valve of a night to the last, in minutes after midnight of the watering day.
struct NightHours {
    double start_minutes = 0.0;
    double end_minutes = 0.0;
};

/// Of each month; empty without runs.
using NightsOfYear = Monthly<std::optional<NightHours>>;

/// Which ways of setting days, other than plain weekdays and odd or even dates, the plan uses.
struct DaySettings {
    bool week_intervals = false;
    bool date_intervals = false;
    bool dates = false;
};

struct YearTotals {
    double volume_l = 0.0;
    std::optional<double> cost;  ///< of watering; without fixed charges
};

/// A schedule that is compared with the plan.
struct Comparison {
    std::string name;  ///< "peak_all_season", "two_settings", "current", "peak_all_year"
    YearTotals year;
    YearTotals saving;  ///< of the month-by-month settings compared with it; below 0 if they use
                        ///< more
};

struct SitePlan {
    std::optional<int> peak_need_month;  ///< of the zone of highest need
    std::string highest_need_zone;       ///< greatest net need per day; empty if there is no need
    std::vector<ProgramPlan> programs;
    DaySettings day_settings;
    YearTotals need;                              ///< the needs
    YearTotals year;                              ///< of the month-by-month settings
    YearTotals by_percentage;                     ///< of the base run at the programs' percentages
    Monthly<double> season_share{};               ///< of the month's days
    std::vector<Comparison> comparisons;          ///< in order of increasing saving
    std::optional<double> fixed_charges;          ///< of the year, due with or without watering
    std::optional<double> longest_night_minutes;  ///< from the first valve to the last, with one
                                                  ///< set of start times; empty without runs
    NightsOfYear nights;  ///< of the month-by-month settings, all days together
    NightsOfYear nights_by_percentage;
    int rain_shutoff_mm = 3;  ///< one sensor for all zones: the greatest value of any zone
    Assumptions assumed;
};

struct DemandPlan {
    std::vector<ZonePlan> zones;  ///< in the order given
    SitePlan site;
    std::vector<Phrase> cautions;  ///< whole sentences
};

}  // namespace thirstline
