// Water prices: a bill's tiers, its unit and its period.
//
// The cost of watering is what it adds to the bills. The household's indoor use fills the tiers
// first. The fixed charge is due with or without watering, so it is reported separately.
#pragma once

#include <optional>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// `price` per unit above the tier before, up to `up_to` units per bill.
struct PriceTier {
    std::optional<double> up_to;  ///< empty in the last tier only
    double price = 0.0;           ///< per unit, 0 or more
};

struct WaterPrice {
    double litres_per_unit = 1000.0;  ///< 1000 for m³, see exact_units.hpp for kgal and 100 ft³
    int billing_months = 1;           ///< 1, 2, 3, 4, 6 or 12; the first bill begins in January
    double fixed_per_bill = 0.0;
    double indoor_units_per_bill = 0.0;
    double sewer_share = 0.0;      ///< of the charge for water by volume, added to it: 0 to 3
    std::vector<PriceTier> tiers;  ///< at least one, rising; the last is open
};

/// The cost of a year, in the currency of the prices.
struct WaterCost {
    Monthly<double> watering_by_month{};  ///< each bill, shared among its months by volume
    double watering = 0.0;  ///< what watering adds to the year's bills, sewer included
    double indoor = 0.0;    ///< of the bills without watering and fixed charge
    double fixed = 0.0;     ///< the year's fixed charges
};

/// Cost of `units` on one bill by the tiers only; `tiers` as above, `units` 0 or more.
[[nodiscard]] double charge_by_tiers(const std::vector<PriceTier>& tiers, double units);

/// `price` must have passed `check_water_price`.
[[nodiscard]] WaterCost water_cost(const WaterPrice& price, const Monthly<double>& watering_l);

/// Errors (bad_input): a number out of its range, tiers that do not increase, a last tier with a
/// limit.
[[nodiscard]] Result<void> check_water_price(const WaterPrice& price);

}  // namespace thirstline
