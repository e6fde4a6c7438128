#include "builder/grids/plausible_values.hpp"

#include <array>

namespace thirstline {
namespace {

// In the order of Variable.
constexpr std::array<PlausibleRange, kVariables> kRanges{{
    {-80.0, 60.0, 60.0,
     "air temperature has been recorded up to 56.7 °C, and the coldest month's "
     "mean maximum on the Antarctic plateau is about −65 °C"},
    {-90.0, 50.0, 50.0,
     "the lowest air temperature recorded is −89.2 °C, the highest night-time "
     "minimum about 44 °C"},
    {-85.0, 55.0, 55.0, "between the ranges of the minimum and the maximum"},
    {0.0, 40.0, 40.0, "no month has had a mean daily range of temperature of more than 40 °C"},
    {0.0, 5.6, 5.6, "the highest dew point recorded, 35 °C, is 5.6 kPa"},
    {0.0, 0.04, 0.04, "the highest dew point recorded, 35 °C, is 0.035 kg/kg at sea level"},
    {-95.0, 36.0, 36.0, "the highest dew point recorded is 35 °C"},
    {1.0, 105.0, 100.0,
     "the driest deserts have a few percent; rounding and sensors can exceed saturation by up to "
     "5"},
    {1.0, 105.0, 100.0,
     "the driest deserts have a few percent; rounding and sensors can exceed saturation by up to "
     "5"},
    {1.0, 105.0, 100.0,
     "the driest deserts have a few percent; rounding and sensors can exceed saturation by up to "
     "5"},
    {0.0, 15.0, 15.0, "completely dry air at 54 °C lacks 15 kPa"},
    {0.0, 15.0, 15.0, "completely dry air at 54 °C lacks 15 kPa"},
    {0.0, 15.0, 15.0, "completely dry air at 54 °C lacks 15 kPa"},
    {0.0, 30.0, 30.0, "the windiest month on record had a mean of 25 m/s"},
    {-30.0, 30.0, 30.0, "the windiest month on record had a mean of 25 m/s"},
    {-30.0, 30.0, 30.0, "the windiest month on record had a mean of 25 m/s"},
    {0.0, 45.0, 45.0, "extraterrestrial radiation does not exceed 46 MJ/m2/day in any month"},
    {0.0, 24.0, 24.0, "a day has 24 hours"},
    {0.0, 1.05, 1.0, "a fraction; rounding can exceed 1 by up to 0.05"},
    {0.0, 1.05, 1.0, "a fraction; rounding can exceed 1 by up to 0.05"},
    {0.0, 9300.0, 9300.0, "the rainiest month on record had 9300 mm"},
    {0.0, 31.0, 31.0, "a month has at most 31 days"},
    {0.0, 20.0, 20.0, "the hottest deserts reach about 15 mm/day"},
    {-11100.0, 8900.0, 8900.0, "from the deepest ocean to the highest mountain"},
}};

}  // namespace

const PlausibleRange& plausible_range(Variable variable) {
    return kRanges[static_cast<std::size_t>(variable)];
}

std::string_view rule_name(RejectionRule rule) {
    switch (rule) {
        case RejectionRule::outside_plausible_range:
            return "outside the plausible range";
        case RejectionRule::negative_wind:
            return "negative wind";
        case RejectionRule::negative_rain:
            return "negative rain";
        case RejectionRule::humidity_over_saturation:
            return "relative humidity over 105%";
    }
    return "";
}

std::optional<RejectionRule> rejection_of(Variable variable, double value) {
    const PlausibleRange& range = plausible_range(variable);
    if (value >= range.least && value <= range.greatest) return std::nullopt;
    if (variable == Variable::wind && value < 0.0) return RejectionRule::negative_wind;
    if (variable == Variable::rain && value < 0.0) return RejectionRule::negative_rain;
    const bool is_relative = variable == Variable::relative_humidity ||
                             variable == Variable::relative_humidity_max ||
                             variable == Variable::relative_humidity_min;
    if (is_relative && value > range.greatest) return RejectionRule::humidity_over_saturation;
    return RejectionRule::outside_plausible_range;
}

std::optional<RejectionRule> rejection_of_day(Variable variable, double value) {
    // From memory: the rainiest day on record had 1,825 mm, the greatest range of one is 57 °C, and
    // the windiest have more than a month's mean.
    constexpr double kMaxRainMm = 1900.0;
    constexpr double kMaxRangeC = 60.0;
    constexpr double kMaxWindMPerS = 70.0;
    const auto within = [value](double least, double greatest) {
        return value >= least && value <= greatest;
    };
    if (variable == Variable::temperature_range && within(0.0, kMaxRangeC)) return std::nullopt;
    if (variable == Variable::wind && within(0.0, kMaxWindMPerS)) return std::nullopt;
    if (variable == Variable::rain && value > kMaxRainMm)
        return RejectionRule::outside_plausible_range;
    return rejection_of(variable, value);
}

std::optional<RejectionRule> rejection_of_hour(Variable variable, double value) {
    const auto unless_within = [value](double least,
                                       double greatest) -> std::optional<RejectionRule> {
        if (value >= least && value <= greatest) return std::nullopt;
        return RejectionRule::outside_plausible_range;
    };
    switch (variable) {
        case Variable::tmax:
        case Variable::tmin:
        case Variable::tmean:
            return unless_within(plausible_range(Variable::tmin).least,
                                 plausible_range(Variable::tmax).greatest);
        case Variable::radiation:
            // −15 W/m2, and 1,500, which clouds beside the sun give for a moment.
            return unless_within(-1.3, 130.0);
        case Variable::sunshine_hours:
            return unless_within(0.0, 1.0);
        case Variable::eto:
            return unless_within(-0.2, 2.0);
        case Variable::rain: {
            // From memory: 305 mm in 42 minutes is the record.
            constexpr double kMaxRainMm = 400.0;
            if (value > kMaxRainMm) return RejectionRule::outside_plausible_range;
            return rejection_of(variable, value);
        }
        default:
            return rejection_of_day(variable, value);
    }
}

double clamped_to_range(Variable variable, double value) {
    const PlausibleRange& range = plausible_range(variable);
    return value > range.max_used && value <= range.greatest ? range.max_used : value;
}

}  // namespace thirstline
