#include "lookup/demand/plan_assumptions.hpp"

#include <algorithm>
#include <cstddef>
#include <string>

#include "lookup/demand/irrigation_depth.hpp"
#include "lookup/demand/month_schedule.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand/soil_water.hpp"
#include "lookup/demand/water_window.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

/// If credited rain could cover at least this share of the peak's need, the plan states that it is
/// not used.
constexpr double kNotableRainShare = 0.1;

void note_uncredited_rain(Assumptions& assumed, const YearNeed& need) {
    if (!need.peak_month_index) return;
    const auto peak = static_cast<std::size_t>(*need.peak_month_index);
    if (need.uncredited_rain_mm < kNotableRainShare * need.months[peak].need_mm) return;
    assumed.push_back({"rain not credited in the peak month",
                       depth_text(need.uncredited_rain_mm) + " that would help on average",
                       "reserve for a dry spell; rain_credit = \"soil-storage\" credits all months "
                       "alike, without that reserve",
                       Basis::own_choice});
}

void note_rain_counted_on(Assumptions& assumed, const ZoneYearSchedule& schedule) {
    std::string months = months_where([&](std::size_t m) { return schedule.rain_counted_on[m]; });
    if (months.empty()) return;
    assumed.push_back(
        {"intervals that rely on rain", std::move(months),
         "with none, plants reach Ks = 0.5 (FAO-56 eq. 84). In a dry spell return to peak-month "
         "days",
         Basis::own_choice});
}

void note_shallow_runs(Assumptions& assumed, const ZoneDemand& demand,
                       const ZoneYearSchedule& schedule) {
    const ZoneNumbers& numbers = demand.numbers;
    std::string months = months_where([&](std::size_t m) {
        const ZoneRuns& runs = schedule.runs[m];
        if (runs.minutes_a_day <= 0.0) return false;
        const double net_mm =
            applied_depth_mm(runs.minutes_a_day, numbers.rate_mm_per_h) / numbers.gross_per_net;
        return is_shallow_watering(net_mm, numbers.usable_storage_mm);
    });
    if (months.empty()) return;
    assumed.push_back({"shallow run times", std::move(months),
                       "fewer days would dry the soil too far, or the rules allow no more; skip a "
                       "run if soil is moist at root depth",
                       Basis::own_choice});
}

void note_slight_overdraft(Assumptions& assumed, const ZoneYearSchedule& schedule) {
    const auto worst =
        std::max_element(schedule.slight_overdraft_mm.begin(), schedule.slight_overdraft_mm.end());
    if (*worst <= 0.0) return;
    assumed.push_back(
        {"longest interval between waterings",
         "in " +
             months_where([&](std::size_t m) { return schedule.slight_overdraft_mm[m] > 0.0; }) +
             " up to " + depth_text(*worst) + " beyond the allowable depletion",
         "no closer days are allowed; less than " + percent_text(kNegligibleOverdraft) +
             " of it, within the uncertainty of available water",
         Basis::own_choice});
}

/// Months in which the zone is off although it has a need.
void note_small_need(Assumptions& assumed, const ZoneYearSchedule& schedule) {
    std::string months =
        months_where([&](std::size_t m) { return schedule.runs[m].is_too_little; });
    if (months.empty()) return;
    assumed.push_back({"months left off", std::move(months),
                       "the need is less than one run of " + minutes_text(kShortestDayMinutes) +
                           " in four weeks; soil water covers it",
                       Basis::own_choice});
}

std::string season_text(const SitePlan& site) {
    std::string off = months_where([&](std::size_t m) { return site.season_share[m] <= 0.0; });
    return off.empty() ? "all year" : "off in " + off;
}

std::string percents_text(const Controller& controller) {
    return "steps of " + std::to_string(controller.percent_step) + "%, run times in steps of " +
           number_text(controller.minute_step) + " min, up to " +
           std::to_string(controller.programs) +
           (controller.programs == 1 ? " program" : " programs");
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
    Assumptions assumed{
        {"percent of peak", "net irrigation per day as a percent of the peak month",
         "months differ in length, and a controller is set by the week", Basis::common_practice},
        {"controller", percents_text(setup.controller), "give [controller] for yours",
         Basis::common_practice},
        {"settings",
         "at least " + percent_text(kMinShareOfNeed) +
             " of the need in each month, as near to it as the controller's steps allow",
         "the percentage scales run times exactly; days and cycles stay", Basis::own_choice},
        {"programs",
         "zones of like need share one while that exceeds their need by at most " +
             percent_text(kProgramExcess),
         "each program has its own days and percentages", Basis::own_choice},
        {"zones",
         setup.controller.valves_at_once == 1
             ? "one at a time"
             : "up to " + std::to_string(setup.controller.valves_at_once) +
                   " at once, within the available flow",
         "pressure and flow stay as designed", Basis::common_practice},
        {"start times", "so that watering ends at about " + clock_text(kNightEndsMinutes),
         "before sunrise there is little wind and evaporation; give window_start for yours",
         Basis::common_practice},
        {"comparisons", "base run times without or with few seasonal changes",
         "each zone is on only in months of need, except in the 12-month figure",
         Basis::own_choice},
        {"rain sensor", "half of the allowable depletion, rounded down to a sensor step",
         "between waterings the soil is half depleted on average; one sensor: the largest zone "
         "value",
         Basis::own_choice},
        {"rain sensor steps", "1/8, 1/4, 1/2, 3/4 and 1 in (3, 6, 13, 19 and 25 mm)",
         "as such sensors are sold; from memory", Basis::common_practice},
        {"season", season_text(plan.site),
         setup.season ? "as given"
                      : "off where the mean daily minimum is at or below freezing; local freeze "
                        "dates come first",
         setup.season ? Basis::exact : Basis::own_choice},
    };
    const bool knows_errors = std::any_of(plan.zones.begin(), plan.zones.end(),
                                          [](const ZonePlan& z) { return z.peak_net_se_mm; });
    if (knows_errors) {
        assumed.push_back(
            {"uncertainty of the peak need",
             "standard errors of mean ETo and rain, taken as independent; conservative: the 80th "
             "percentile of the mean, not a dry year",
             "their correlation is not in the file; the plant coefficient's own error is not "
             "included",
             Basis::own_choice});
    }
    if (price) {
        assumed.push_back(
            {"cost of watering", "what it adds to the bills, without fixed charges",
             "indoor use fills the tiers first; fixed charges do not depend on watering",
             Basis::own_choice});
        if (price->sewer_share > 0.0) {
            assumed.push_back({"sewer",
                               percent_text(price->sewer_share) +
                                   " of the charge for water by volume, added to it",
                               "as given; many suppliers waive it for irrigation",
                               Basis::common_practice});
        }
    }
    const bool has_new_planting = std::any_of(plan.zones.begin(), plan.zones.end(),
                                              [](const ZonePlan& z) { return z.new_planting; });
    if (has_new_planting) {
        assumed.push_back({"new planting", "not included in the annual total",
                           "the establishment schedule ends on a date; check it separately against "
                           "allowances and the water window",
                           Basis::own_choice});
    }
    return assumed;
}

}  // namespace thirstline
