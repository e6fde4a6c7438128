#include "lookup/demand/plan_assumptions.hpp"

#include <algorithm>
#include <cstddef>
#include <string>

#include "lookup/demand/month_schedule.hpp"
#include "lookup/demand/quantity_text.hpp"
#include "lookup/demand/soil_water.hpp"
#include "schema/base/words.hpp"

namespace thirstline {
namespace {

/// A share of the peak's need that rain could cover, from which on it must be said that it does
/// not.
constexpr double kNotableRainShare = 0.1;

void tell_uncredited_rain(Assumptions& assumed, const YearNeed& need) {
    if (!need.peak_month_index) return;
    const auto peak = static_cast<std::size_t>(*need.peak_month_index);
    if (need.uncredited_rain_mm < kNotableRainShare * need.months[peak].need_mm) return;
    assumed.push_back(
        {"rain not credited in the peak month",
         depth_text(need.uncredited_rain_mm) + " that would help on average",
         "so the peak month and its like stand out among wet ones; rain_credit = \"scs\" treats "
         "all months alike, and leaves a dry spell to you",
         Standing::own_choice});
}

void tell_rain_counted_on(Assumptions& assumed, const ZoneYearSchedule& schedule) {
    std::string months = months_where([&](std::size_t m) { return schedule.rain_counted_on[m]; });
    if (months.empty()) return;
    assumed.push_back(
        {"rain counted on between waterings", std::move(months),
         "else runs would wet only the upper roots; a wait without any rain draws the soil at most "
         "midway from the allowed depletion to wilting (FAO-56's stress coefficient 0.5), so in a "
         "dry spell water as in the peak month",
         Standing::own_choice});
}

void tell_shallow_runs(Assumptions& assumed, const ZoneDemand& demand,
                       const ZoneYearSchedule& schedule) {
    const ZoneNumbers& numbers = demand.numbers;
    std::string months = months_where([&](std::size_t m) {
        const ZoneRuns& runs = schedule.runs[m];
        if (runs.minutes_a_day <= 0.0) return false;
        const double net_mm =
            schedule.applied_mm[m] / runs.days.days_in_month / numbers.gross_per_net;
        return is_shallow_watering(net_mm, numbers.usable_storage_mm);
    });
    if (months.empty()) return;
    assumed.push_back({"runs that wet only the upper roots", std::move(months),
                       "fewer days would let the soil dry too far without rain, or the rules bring "
                       "no more; where the soil is still moist at root depth, leave a run out",
                       Standing::own_choice});
}

void tell_slight_overdraft(Assumptions& assumed, const ZoneYearSchedule& schedule) {
    const auto worst =
        std::max_element(schedule.slight_overdraft_mm.begin(), schedule.slight_overdraft_mm.end());
    if (*worst <= 0.0) return;
    assumed.push_back(
        {"longest wait",
         "in " +
             months_where([&](std::size_t m) { return schedule.slight_overdraft_mm[m] > 0.0; }) +
             " up to " + depth_text(*worst) + " beyond the allowed depletion",
         "the days lie no closer; less than " + percent_text(kNegligibleOverdraft) +
             " of the usable storage, and no soil's water is known as closely as that",
         Standing::own_choice});
}

}  // namespace

Assumptions month_assumptions(const ZoneDemand& demand, const ZoneYearSchedule& schedule) {
    Assumptions assumed;
    tell_uncredited_rain(assumed, demand.need);
    tell_rain_counted_on(assumed, schedule);
    tell_shallow_runs(assumed, demand, schedule);
    tell_slight_overdraft(assumed, schedule);
    return assumed;
}

Assumptions site_assumptions(const DemandPlan& plan, const std::optional<WaterPrice>& price) {
    Assumptions assumed{
        {"share of peak",
         "of net need a day, rounded up to steps of " + std::to_string(kPercentStep) +
             " % to enter",
         "months differ in length, and a controller is set by the week; the step is what most "
         "controllers take",
         Standing::common_practice},
        {"one percentage for all zones", "each month's greatest share of any zone",
         "so that none gets too little", Standing::own_choice},
        {"zones", "one at a time, in the order given, each cycle in its turn",
         "one valve open at once keeps pressure and flow as designed", Standing::common_practice},
        {"fixed schedule", "each zone's peak runs in every month in which it has a need",
         "the plainer claim; the same in all twelve months is given beside it",
         Standing::own_choice},
        {"rain shut-off", "half the usable storage; for one sensor the greatest of the zones'",
         "between waterings the soil is half drawn down on average", Standing::own_choice},
        {"range of rain shut-offs",
         std::to_string(kMinRainShutoffMm) + " to " + std::to_string(kGreatestRainShutoffMm) +
             " mm",
         "what such sensors can be set to", Standing::common_practice},
    };
    const bool knows_errors = std::any_of(plan.zones.begin(), plan.zones.end(),
                                          [](const ZonePlan& z) { return z.peak_net_se_mm; });
    if (knows_errors) {
        assumed.push_back(
            {"uncertainty of the peak need",
             "from the errors of the mean ETo and rain alone, taken as independent; cautious: the "
             "80th percentile of the mean, not a dry year",
             "the file does not tell how its two errors go together; where a peak has no rain "
             "credit it does not matter; the plant's coefficient has an error of its own",
             Standing::own_choice});
    }
    if (price) {
        assumed.push_back({"cost of watering", "what it adds to the bills, without fixed charges",
                           "indoor use fills the tiers first, and fixed charges are due anyway",
                           Standing::own_choice});
        if (price->sewer_share > 0.0) {
            assumed.push_back({"sewer",
                               percent_text(price->sewer_share) +
                                   " of the charge for water by volume, added to it",
                               "as stated; many suppliers waive it for watering",
                               Standing::common_practice});
        }
    }
    const bool has_new_planting = std::any_of(plan.zones.begin(), plan.zones.end(),
                                              [](const ZonePlan& z) { return z.new_planting; });
    if (has_new_planting) {
        assumed.push_back({"new planting", "its own runs are in no sum of the year",
                           "they end on a date, and the monthly plan is that of a year without "
                           "them; count them apart against an allowance and the night's window",
                           Standing::own_choice});
    }
    return assumed;
}

}  // namespace thirstline
