#include "lookup/zone_file/measurement_assembly.hpp"

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "lookup/demand/zone_ranges.hpp"
#include "lookup/zone_file/assembly_messages.hpp"

namespace thirstline {
namespace {

using enum Quantity;

/// Depths in mm; empty without a test.
std::vector<double> catch_can_depths_mm(const ZoneValues& values) {
    if (auto depths = values.get<std::vector<double>>(catch_can_depths)) return std::move(*depths);
    auto volumes = values.get<std::vector<double>>(catch_can_volumes);
    if (!volumes) return {};
    for (double& volume : *volumes)
        volume = caught_depth_mm(volume, values.number(catch_can_area).value_or(1.0));
    return std::move(*volumes);
}

}  // namespace

/// The texture's index among the choices is its index in the enumeration.
std::optional<SoilTexture> texture_of(const ZoneValues& values) {
    const auto sand = values.number(sand_percent);
    const auto clay = values.number(clay_percent);
    if (sand && clay) return soil_texture(*sand, *clay);
    const ZoneValue* found = values.find(soil);
    if (found == nullptr) return std::nullopt;
    const auto& choices = found->key->choices;
    return static_cast<SoilTexture>(
        std::find(choices.begin(), choices.end(), std::get<std::string>(found->value)) -
        choices.begin());
}
static_assert(static_cast<int>(SoilTexture::clay) == 0 &&
              static_cast<int>(SoilTexture::sand) == 11);

std::optional<double> available_water_of(const ZoneValues& values) {
    const auto capacity = values.number(field_capacity);
    const auto wilting = values.number(wilting_point);
    if (capacity && wilting) return available_water_of_soil_test_mm_per_m(*capacity, *wilting);
    return values.number(available_water);
}

std::optional<CatchCanTest> catch_can_test_of(const ZoneValues& values) {
    std::vector<double> depths_mm = catch_can_depths_mm(values);
    const auto minutes = values.number(catch_can_minutes);
    if (depths_mm.empty() || !minutes) return std::nullopt;
    return catch_can_test(std::move(depths_mm), *minutes);
}

Result<void> check_measurements(const ZoneValues& values) {
    const auto refuse = [&](Quantity quantity, const std::string& message) -> Result<void> {
        const ZoneValue* found = values.find(quantity);
        return fail_at(found->place, subject(*found->key, found->place) + message);
    };
    const ZoneValue* minutes = values.find(catch_can_minutes);
    if (minutes != nullptr && !values.has(catch_can_depths) && !values.has(catch_can_volumes))
        return refuse(catch_can_minutes, " needs " + asked_for(catch_can_depths, minutes->place) +
                                             " or " + asked_for(catch_can_volumes, minutes->place));
    if (const auto test = catch_can_test_of(values)) {
        const Quantity cans = values.has(catch_can_depths) ? catch_can_depths : catch_can_volumes;
        if (!is_within(test->rate_mm_per_h, kRateMmPerHRange))
            return refuse(
                cans,
                " gives a rate outside the range of sprinklers and drip; check depths and minutes");
        if (!is_within(test->lowest_quarter, kUniformityRange))
            return refuse(cans,
                          " gives a distribution uniformity below 0.2; check the readings, or "
                          "repair the zone "
                          "and test it again");
    }
    const auto sand = values.number(sand_percent);
    const auto clay = values.number(clay_percent);
    if (sand && clay && !soil_texture(*sand, *clay))
        return refuse(clay_percent, " and sand must not exceed 100% together");
    const auto capacity = values.number(field_capacity);
    const auto wilting = values.number(wilting_point);
    if (capacity && wilting &&
        !is_within(available_water_of_soil_test_mm_per_m(*capacity, *wilting),
                   kAvailableWaterMmPerMRange)) {
        return refuse(field_capacity, " must be 2 to 30 percentage points above the wilting point");
    }
    return {};
}

}  // namespace thirstline
