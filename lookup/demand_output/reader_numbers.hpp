// A plan's numbers as a person reads them: in his units, rounded to what is worth telling.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// "6.5 mm" or "0.26 in"
[[nodiscard]] std::string depth_with_unit(double mm, const TextStyle& style);

/// "950 l", "36.2 m³" from a cubic metre on; or "9,560 gal"
[[nodiscard]] std::string volume_with_unit(double litres, const TextStyle& style);

/// Gallons or litres, whole, thousands apart: "9,560".
[[nodiscard]] std::string volume_number(double litres, const TextStyle& style);
/// "gal" or "l"
[[nodiscard]] std::string_view volume_unit(const TextStyle& style);

/// "1394 ft²" or "129.5 m²"
[[nodiscard]] std::string area_with_unit(double m2, const TextStyle& style);

/// "1.40 in/h" or "35.6 mm/h"
[[nodiscard]] std::string rate_with_unit(double mm_per_h, const TextStyle& style);

/// "$312.50"; a currency of letters stands apart: "EUR 312.50". Thousands apart by a comma.
[[nodiscard]] std::string money(double amount, std::string_view currency);

/// Nothing that a reader needs to see: under half a millimetre, or a twentieth of an inch.
[[nodiscard]] bool is_negligible_depth(double mm, const TextStyle& style);

/// "3" or "3.5"; "1/2" for a day in every second week.
[[nodiscard]] std::string days_number(double days_per_week);

/// "8", "130"; "3.9" for minutes that are not whole.
[[nodiscard]] std::string minutes_number(double minutes);

/// "5 s" below a minute, "8 min", "3.9 min", "2 h 10 min".
[[nodiscard]] std::string run_length(double minutes);

/// Characters beyond ASCII that the plan's own words use, in ASCII: "+-" for "±", "x" for "×".
/// Other letters stay.
[[nodiscard]] std::string in_ascii(std::string text);

}  // namespace thirstline
