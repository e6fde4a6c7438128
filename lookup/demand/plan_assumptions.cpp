#include "lookup/demand/plan_assumptions.hpp"

#include <algorithm>
#include <cstddef>
#include <string>

#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/month_schedule.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand/soil_water.hpp"
#include "lookup/demand/water_window.hpp"

namespace thirstline {
namespace {

/// If credited rain could cover at least this share of the peak's need, the plan states that it is
/// not used.
constexpr double kNotableRainShare = 0.1;

void note_uncredited_rain(Assumptions& assumed, const YearNeed& need) {
    if (!need.peak_month_index) return;
    const auto peak = static_cast<std::size_t>(*need.peak_month_index);
    if (need.uncredited_rain_mm < kNotableRainShare * need.months[peak].need_mm) return;
    assumed.push_back(
        {"assumed.peak_rain"_text,
         {"assumed.peak_rain_value"_text, {{"depth", depth_phrase(need.uncredited_rain_mm)}}},
         "assumed.peak_rain_why"_text,
         Basis::own_choice});
}

void note_rain_counted_on(Assumptions& assumed, const ZoneYearSchedule& schedule) {
    Phrase months = months_phrase([&](std::size_t m) { return schedule.rain_counted_on[m]; });
    if (months.empty()) return;
    assumed.push_back({"assumed.rain_intervals"_text, std::move(months),
                       "assumed.rain_intervals_why"_text, Basis::own_choice});
}

void note_shallow_runs(Assumptions& assumed, const ZoneDemand& demand,
                       const ZoneYearSchedule& schedule) {
    const ZoneNumbers& numbers = demand.numbers;
    Phrase months = months_phrase([&](std::size_t m) {
        const ZoneRuns& runs = schedule.runs[m];
        if (runs.minutes_a_day <= 0.0) return false;
        const double net_mm =
            applied_depth_mm(runs.minutes_a_day, numbers.rate_mm_per_h) / numbers.gross_per_net;
        return is_shallow_watering(net_mm, numbers.usable_storage_mm);
    });
    if (months.empty()) return;
    assumed.push_back(
        {"assumed.shallow"_text, std::move(months), "assumed.shallow_why"_text, Basis::own_choice});
}

void note_slight_overdraft(Assumptions& assumed, const ZoneYearSchedule& schedule) {
    const auto worst =
        std::max_element(schedule.slight_overdraft_mm.begin(), schedule.slight_overdraft_mm.end());
    if (*worst <= 0.0) return;
    assumed.push_back(
        {"assumed.longest_interval"_text,
         {"assumed.overdraft"_text,
          {{"months",
            months_phrase([&](std::size_t m) { return schedule.slight_overdraft_mm[m] > 0.0; })},
           {"depth", depth_phrase(*worst)}}},
         {"assumed.overdraft_why"_text, {{"percent", percent_text(kNegligibleOverdraft)}}},
         Basis::own_choice});
}

/// Months in which the zone is off although it has a need.
void note_small_need(Assumptions& assumed, const ZoneYearSchedule& schedule) {
    Phrase months = months_phrase([&](std::size_t m) { return schedule.runs[m].is_too_little; });
    if (months.empty()) return;
    assumed.push_back(
        {"assumed.months_off"_text,
         std::move(months),
         {"assumed.months_off_why"_text, {{"minutes", minutes_text(kShortestDayMinutes)}}},
         Basis::own_choice});
}

Phrase season_phrase(const SitePlan& site) {
    Phrase off = months_phrase([&](std::size_t m) { return site.season_share[m] <= 0.0; });
    if (off.empty()) return "assumed.all_year"_text;
    return {"assumed.off_in"_text, {{"months", std::move(off)}}};
}

Phrase steps_phrase(const Controller& controller) {
    const Argument percent{"percent", std::to_string(controller.percent_step)};
    const Argument minutes{"minutes", number_text(controller.minute_step)};
    if (controller.programs == 1)
        return {"assumed.controller_one_program"_text, {percent, minutes}};
    return {"assumed.controller_programs"_text,
            {percent, minutes, {"programs", std::to_string(controller.programs)}}};
}

}  // namespace

Assumptions month_assumptions(const ZoneDemand& demand, const ZoneYearSchedule& schedule) {
    Assumptions assumed;
    note_uncredited_rain(assumed, demand.need);
    note_rain_counted_on(assumed, schedule);
    note_shallow_runs(assumed, demand, schedule);
    note_slight_overdraft(assumed, schedule);
    note_small_need(assumed, schedule);
    return assumed;
}

Assumptions site_assumptions(const DemandPlan& plan, const std::optional<WaterPrice>& price,
                             const SiteSetup& setup) {
    const Controller& controller = setup.controller;
    Assumptions assumed{
        {"assumed.percent_of_peak"_text, "assumed.percent_of_peak_value"_text,
         "assumed.percent_of_peak_why"_text, Basis::common_practice},
        {"assumed.controller"_text, steps_phrase(controller), "assumed.controller_why"_text,
         Basis::common_practice},
        {"assumed.settings"_text,
         {"assumed.settings_value"_text, {{"percent", percent_text(kMinShareOfNeed)}}},
         "assumed.settings_why"_text,
         Basis::own_choice},
        {"assumed.programs"_text,
         {"assumed.programs_value"_text, {{"percent", percent_text(kProgramExcess)}}},
         "assumed.programs_why"_text,
         Basis::own_choice},
        {"assumed.zones"_text,
         controller.valves_at_once == 1
             ? Phrase("assumed.one_valve"_text)
             : Phrase("assumed.several_valves"_text,
                      {{"count", std::to_string(controller.valves_at_once)}}),
         "assumed.zones_why"_text, Basis::common_practice},
        {"assumed.start_times"_text,
         {"assumed.start_times_value"_text, {{"time", clock_text(kNightEndsMinutes)}}},
         "assumed.start_times_why"_text,
         Basis::common_practice},
        {"assumed.comparisons"_text, "assumed.comparisons_value"_text,
         "assumed.comparisons_why"_text, Basis::own_choice},
        {"assumed.rain_sensor"_text, "assumed.rain_sensor_value"_text,
         "assumed.rain_sensor_why"_text, Basis::own_choice},
        {"assumed.sensor_steps"_text, "assumed.sensor_steps_value"_text,
         "assumed.sensor_steps_why"_text, Basis::common_practice},
        {"assumed.season"_text, season_phrase(plan.site),
         setup.season ? "assumed.season_given"_text : "assumed.season_by_frost"_text,
         setup.season ? Basis::given : Basis::own_choice},
    };
    const bool knows_errors = std::any_of(plan.zones.begin(), plan.zones.end(),
                                          [](const ZonePlan& z) { return z.peak_net_se_mm; });
    if (knows_errors) {
        assumed.push_back({"assumed.peak_uncertainty"_text, "assumed.peak_uncertainty_value"_text,
                           "assumed.peak_uncertainty_why"_text, Basis::own_choice});
    }
    if (price) {
        assumed.push_back({"assumed.cost"_text, "assumed.cost_value"_text, "assumed.cost_why"_text,
                           Basis::own_choice});
        if (price->sewer_share > 0.0) {
            assumed.push_back(
                {"assumed.sewer"_text,
                 {"assumed.sewer_value"_text, {{"percent", percent_text(price->sewer_share)}}},
                 "assumed.sewer_why"_text,
                 Basis::common_practice});
        }
    }
    const bool has_new_planting = std::any_of(plan.zones.begin(), plan.zones.end(),
                                              [](const ZonePlan& z) { return z.new_planting; });
    if (has_new_planting) {
        assumed.push_back({"assumed.new_planting"_text, "assumed.new_planting_value"_text,
                           "assumed.new_planting_why"_text, Basis::own_choice});
    }
    return assumed;
}

}  // namespace thirstline
