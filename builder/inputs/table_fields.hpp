// Fields of tables, as people pad and write them.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Without blanks, tabs and no-break spaces at both ends.
[[nodiscard]] std::string trimmed_field(std::string_view field);

/// A whole field as a finite number, with a decimal point whatever the locale; a plus sign may
/// stand before it. Nothing for anything else.
[[nodiscard]] std::optional<double> number_in_field(std::string_view field);

/// A place on Earth from its two fields, in any form that schema/geo/coordinates.hpp understands;
/// or the rule that they break: "position cannot be read", or "position is impossible" for one
/// outside the Earth's degrees and for 0° N 0° E, where in truth only blanks lie.
[[nodiscard]] tl::expected<LatLon, std::string> position_in_fields(std::string_view lat,
                                                                   std::string_view lon);

}  // namespace thirstline
