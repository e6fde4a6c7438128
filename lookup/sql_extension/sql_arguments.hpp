// Arguments of SQL as the question that they ask. Tables imported from CSV hold numbers as text, so
// texts that are numbers are accepted.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "lookup/sql_extension/sql_function.hpp"
#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// Numbers, or texts as people write them: see coordinates.hpp.
/// Errors (usage): those of checked_position and parse_position.
[[nodiscard]] Result<LatLonE7> position_argument(const SqlValue& lat, const SqlValue& lon);

/// Whole metres; nothing for NULL. Errors (usage): not a whole number, or outside the limits.
[[nodiscard]] Result<std::optional<std::int32_t>> elevation_argument(const SqlValue& value);

/// Errors (usage): not a text. A code stored as a number may have lost its leading zeros.
[[nodiscard]] Result<std::string> postal_code_argument(const SqlValue& value);

/// Two letters; empty for NULL. Errors (usage): not a text.
[[nodiscard]] Result<std::string> country_argument(const SqlValue& value);

/// Errors (usage), with the argument's name: not a finite number.
[[nodiscard]] Result<double> number_argument(const SqlValue& value, const std::string& name);

}  // namespace thirstline
