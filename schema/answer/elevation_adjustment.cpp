#include "schema/answer/elevation_adjustment.hpp"

#include <algorithm>
#include <cstdlib>
#include <limits>

#include "schema/answer/rounded_quotient.hpp"

namespace thirstline {

namespace {

/// Limited to the range of an Answer, for any content of a file.
std::int32_t clamped(std::int64_t value) {
    return static_cast<std::int32_t>(
        std::clamp<std::int64_t>(value, -std::numeric_limits<std::int32_t>::max(),
                                 std::numeric_limits<std::int32_t>::max()));
}

constexpr std::int64_t kCmPerKm = 100'000;
constexpr std::int64_t kGrowthOne = std::int64_t{1} << 28;
constexpr std::int64_t kEtoErrorPercentPerKm = 10;
// More for rain upward: left-out stations far above their points require it.
constexpr std::int64_t kRainErrorPercentPerKmUp = 30;
constexpr std::int64_t kRainErrorPercentPerKmDown = 15;

/// A value in 1/(divisor·kAnswerScale), changed by a gradient per km over a difference in cm.
std::int32_t shifted(std::int32_t value, const Layer& layer, std::int32_t gradient,
                     const Layer& gradient_layer, std::int64_t difference_cm) {
    return clamped(value + rounded_half_away(gradient * difference_cm * layer.divisor,
                                             gradient_layer.divisor * kCmPerKm));
}

/// The factor exp(gradient · difference), limited to a quarter and four, in 2^-28: the series to
/// its third term at a sixteenth of the exponent, squared four times.
std::int64_t rain_growth(std::int32_t gradient, const Layer& gradient_layer,
                         std::int64_t difference_cm) {
    const std::int64_t share_divisor =
        static_cast<std::int64_t>(gradient_layer.divisor) * kAnswerScale;
    const std::int64_t most = rounded_half_away(share_divisor * 1'386'294, 1'000'000);  // ln 4
    const std::int64_t share =
        std::clamp(rounded_half_away(gradient * difference_cm, kCmPerKm), -most, most);
    const std::int64_t x = rounded_half_away(share * kGrowthOne, share_divisor * 16);
    const std::int64_t square = rounded_half_away(x * x, kGrowthOne);
    std::int64_t growth = kGrowthOne + x + rounded_half_away(square, 2) +
                          rounded_half_away(square * x, 6 * kGrowthOne);
    for (int i = 0; i < 4; ++i) growth = rounded_half_away(growth * growth, kGrowthOne);
    return growth;
}

std::int64_t whole_square_root(std::uint64_t square) {
    std::uint64_t root = 0;
    for (std::uint64_t bit = std::uint64_t{1} << 31U; bit != 0; bit >>= 1U) {
        const std::uint64_t next = root | bit;
        if (next * next <= square) root = next;
    }
    return static_cast<std::int64_t>(root);
}

/// The root of the sum of squares of a standard error and of a share of the adjusted value per km.
std::int32_t grown_error(std::int64_t error, const Layer& error_layer, std::int32_t value,
                         const Layer& layer, std::int64_t percent_per_km,
                         std::int64_t difference_cm) {
    const std::int64_t distance_cm = difference_cm < 0 ? -difference_cm : difference_cm;
    const std::int64_t share =
        rounded_half_away(value * percent_per_km * distance_cm, 100 * kCmPerKm);
    const auto own = static_cast<std::uint64_t>(clamped(error));
    const auto more = static_cast<std::uint64_t>(
        clamped(rounded_half_away(share * error_layer.divisor, layer.divisor)));
    return clamped(whole_square_root(own * own + more * more));
}

/// The layers of a variable, and the answer's values; null if the file does not have the layer.
struct AdjustedLayers {
    AdjustedLayers(Answer& answer, const TileLayout& layout, LayerId value, LayerId gradient)
        : layer(layout.find(value)),
          gradient_layer(layout.find(gradient)),
          values(answer.of(value)),
          gradients(answer.of(gradient)) {}

    [[nodiscard]] bool moves(std::size_t month) const {
        return layer != nullptr && gradient_layer != nullptr && values[month] != kMissingValue &&
               gradients[month] != kMissingValue;
    }

    const Layer* layer;
    const Layer* gradient_layer;
    Monthly<std::int32_t>& values;
    const Monthly<std::int32_t>& gradients;
};

void adjust_temperature(Answer& answer, const TileLayout& layout, LayerId value, LayerId gradient,
                        std::int64_t difference_cm) {
    const AdjustedLayers adjusted(answer, layout, value, gradient);
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (!adjusted.moves(month)) continue;
        adjusted.values[month] =
            shifted(adjusted.values[month], *adjusted.layer, adjusted.gradients[month],
                    *adjusted.gradient_layer, difference_cm);
    }
}

void adjust_eto(Answer& answer, const TileLayout& layout, std::int64_t difference_cm) {
    const AdjustedLayers adjusted(answer, layout, LayerId::eto, LayerId::eto_gradient);
    const Layer* error_layer = layout.find(LayerId::eto_se);
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (!adjusted.moves(month)) continue;
        std::int32_t& value = adjusted.values[month];
        const std::int64_t own = value;
        value = clamped(
            std::clamp<std::int64_t>(shifted(value, *adjusted.layer, adjusted.gradients[month],
                                             *adjusted.gradient_layer, difference_cm),
                                     std::min(rounded_half_away(own, 2), own * 2),
                                     std::max(rounded_half_away(own, 2), own * 2)));
        value = std::max(value, 0);
        std::int32_t& error = answer.of(LayerId::eto_se)[month];
        if (error_layer == nullptr || error == kMissingValue) continue;
        error = grown_error(error, *error_layer, value, *adjusted.layer, kEtoErrorPercentPerKm,
                            difference_cm);
    }
}

void adjust_rain(Answer& answer, const TileLayout& layout, std::int64_t difference_cm) {
    const AdjustedLayers adjusted(answer, layout, LayerId::rain, LayerId::rain_gradient);
    const Layer* error_layer = layout.find(LayerId::rain_se);
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (!adjusted.moves(month)) continue;
        const std::int64_t growth =
            rain_growth(adjusted.gradients[month], *adjusted.gradient_layer, difference_cm);
        std::int32_t& value = adjusted.values[month];
        value = std::max(clamped(rounded_half_away(value * growth, kGrowthOne)), 0);
        std::int32_t& error = answer.of(LayerId::rain_se)[month];
        if (error_layer == nullptr || error == kMissingValue) continue;
        error = grown_error(
            rounded_half_away(error * growth, kGrowthOne), *error_layer, value, *adjusted.layer,
            difference_cm > 0 ? kRainErrorPercentPerKmUp : kRainErrorPercentPerKmDown,
            difference_cm);
    }
}

/// As in formats 1.0 and 1.1: rain by a share that is linear in the elevation difference, without
/// limits; errors do not change.
void adjust_linearly(Answer& answer, const TileLayout& layout, std::int64_t difference_cm) {
    using enum LayerId;
    const AdjustedLayers of_eto(answer, layout, eto, eto_gradient);
    const AdjustedLayers of_rain(answer, layout, rain, rain_gradient);
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (of_eto.moves(month)) {
            of_eto.values[month] =
                std::max(0, shifted(of_eto.values[month], *of_eto.layer, of_eto.gradients[month],
                                    *of_eto.gradient_layer, difference_cm));
        }
        if (!of_rain.moves(month)) continue;
        std::int32_t& value = of_rain.values[month];
        // Divided twice, so that the product stays within 64 bits.
        const std::int64_t share =
            rounded_half_away(of_rain.gradients[month] * difference_cm, kCmPerKm);
        const std::int64_t divisor =
            static_cast<std::int64_t>(of_rain.gradient_layer->divisor) * kAnswerScale;
        value = std::max(0, clamped(value + rounded_half_away(value * share, divisor)));
    }
    adjust_temperature(answer, layout, tmax, tmax_gradient, difference_cm);
    adjust_temperature(answer, layout, tmin, tmin_gradient, difference_cm);
}

}  // namespace

void adjust_to_elevation(Answer& answer, std::int32_t elevation_m, const TileLayout& layout) {
    const Layer* elevation_layer = layout.find(LayerId::elevation);
    const std::int32_t own = answer.of(LayerId::elevation)[0];
    if (elevation_layer == nullptr || own == kMissingValue) return;
    const std::int64_t own_cm =
        static_cast<std::int64_t>(own) * 100 /
        (static_cast<std::int64_t>(elevation_layer->divisor) * kAnswerScale);
    const std::int64_t rise_cm = static_cast<std::int64_t>(elevation_m) * 100 - own_cm;
    constexpr std::int64_t kMaxAdjustmentCm = std::int64_t{kMaxAdjustmentM} * 100;
    answer.exceeds_max_adjustment = std::abs(rise_cm) > kMaxAdjustmentCm;
    if (layout.elevation_adjustment == ElevationAdjustment::along_straight_lines) {
        // Elevations have 16 bits, so this fits.
        answer.shifted_by_cm = static_cast<std::int32_t>(rise_cm);
        adjust_linearly(answer, layout, rise_cm);
        return;
    }
    const std::int64_t difference_cm = std::clamp(rise_cm, -kMaxAdjustmentCm, kMaxAdjustmentCm);
    answer.shifted_by_cm = static_cast<std::int32_t>(difference_cm);
    adjust_eto(answer, layout, difference_cm);
    adjust_rain(answer, layout, difference_cm);
    adjust_temperature(answer, layout, LayerId::tmax, LayerId::tmax_gradient, difference_cm);
    adjust_temperature(answer, layout, LayerId::tmin, LayerId::tmin_gradient, difference_cm);
}

}  // namespace thirstline
