// A plan's numbers as text: in the user's units, rounded.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "lookup/site_output/site_text.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// "6.5 mm" or "0.26 in"
[[nodiscard]] std::string depth_with_unit(double mm, const TextStyle& style);

/// "950 L", "36.2 m³" from one cubic metre; or "9,560 gal"
[[nodiscard]] std::string volume_with_unit(double litres, const TextStyle& style);

/// Gallons or litres, whole, with thousands separators: "9,560".
[[nodiscard]] std::string volume_number(double litres, const TextStyle& style);
/// "gal" or "L"
[[nodiscard]] std::string_view volume_unit(const TextStyle& style);

/// "1394 ft²" or "129.5 m²"
/// "2.6 gal", for single plants.
[[nodiscard]] std::string plant_volume_with_unit(double litres, const TextStyle& style);
[[nodiscard]] std::string area_with_unit(double m2, const TextStyle& style);

/// "1.40 in/hr" or "35.6 mm/h"
[[nodiscard]] std::string rate_with_unit(double mm_per_h, const TextStyle& style);

/// "$312.50"; a currency of letters is followed by a space: "EUR 312.50". Thousands separators are
/// commas.
[[nodiscard]] std::string money(double amount, std::string_view currency);

/// Too small to be shown: under half a millimetre, or a twentieth of an inch.
[[nodiscard]] bool is_negligible_depth(double mm, const TextStyle& style);

/// "3" or "3.5"; "every 2 wk", "every 4 wk"; "0.9" for other numbers of days.
[[nodiscard]] Phrase days_number(double days_per_week);

/// "8", "130"; "3.9" for minutes that are not whole.
[[nodiscard]] std::string minutes_number(double minutes);

/// "30 s" below a minute, "8 min", "3.5 min", "66 min": as controllers show them.
[[nodiscard]] std::string run_length(double minutes);

}  // namespace thirstline
