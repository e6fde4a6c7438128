// Converts measurements in a zone to the zone's numbers.
#pragma once

#include <optional>

#include "lookup/demand/field_measurements.hpp"
#include "lookup/zone_file/zone_values.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// Empty without a test. The values must have passed `check_measurements`.
[[nodiscard]] std::optional<CatchCanTest> catch_can_test_of(const ZoneValues& values);

/// By the texture's name or by the shares of sand and clay.
[[nodiscard]] std::optional<SoilTexture> texture_of(const ZoneValues& values);

/// As given, or from field capacity and wilting point; mm/m.
[[nodiscard]] std::optional<double> available_water_of(const ZoneValues& values);

/// Errors, each with its place: minutes without readings, a rate or a uniformity that is not
/// possible for sprinklers, shares of soil above 100 %, a wilting point too close to field
/// capacity.
[[nodiscard]] Result<void> check_measurements(const ZoneValues& values);

}  // namespace thirstline
