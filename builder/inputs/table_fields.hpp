// Parses fields of tables.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>

#include "builder/inputs/table_format.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Without blanks, tabs and no-break spaces at both ends.
[[nodiscard]] std::string trimmed_field(std::string_view field);

/// A whole field as a finite number, with a decimal point in every locale and an optional plus
/// sign. Nothing for any other text.
[[nodiscard]] std::optional<double> number_in_field(std::string_view field);

/// A number and the text after it, such as a unit: "409.4 m" is 409.4 and "m"; of a plain number,
/// the text is empty.
struct NumberWithUnit {
    double number = 0.0;
    std::string_view unit;  ///< part of the field
};

/// Nothing for a field that does not begin with a finite number, or has a digit, a comma, a point,
/// a slash or a hyphen directly after it, as in dates ("2015/01/25").
[[nodiscard]] std::optional<NumberWithUnit> number_with_unit(std::string_view field);

/// With its decimal comma as a point. A field that also has a point is unchanged: it is unclear
/// which of them separates thousands.
[[nodiscard]] std::string with_decimal_point(std::string field);
/// The same if the table has decimal commas; otherwise the field itself.
[[nodiscard]] std::string with_decimal_point(std::string field, const TableFormat& format);

/// A place on Earth from its two fields, in any form accepted by schema/geo/coordinates.hpp; or the
/// rule that they break: "position cannot be read", or "position is impossible" for one outside the
/// Earth's degrees and for 0° N 0° E, which in practice means a missing position.
[[nodiscard]] tl::expected<LatLon, std::string> position_in_fields(std::string_view lat,
                                                                   std::string_view lon);

}  // namespace thirstline
