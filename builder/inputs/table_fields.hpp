// Parses fields of tables.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Without blanks, tabs and no-break spaces at both ends.
[[nodiscard]] std::string trimmed_field(std::string_view field);

/// A whole field as a finite number, with a decimal point in every locale and an optional plus
/// sign. Nothing for any other text.
[[nodiscard]] std::optional<double> number_in_field(std::string_view field);

/// A place on Earth from its two fields, in any form accepted by schema/geo/coordinates.hpp; or the
/// rule that they break: "position cannot be read", or "position is impossible" for one outside the
/// Earth's degrees and for 0° N 0° E, which in practice means a missing position.
[[nodiscard]] tl::expected<LatLon, std::string> position_in_fields(std::string_view lat,
                                                                   std::string_view lon);

}  // namespace thirstline
