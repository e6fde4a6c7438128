#include "lookup/demand/water_price.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "lookup/demand/quantity_text.hpp"

namespace thirstline {
namespace {

bool is_within(double value, double least, double greatest) {
    return value >= least && value <= greatest;  // false for NaN
}

constexpr double kGreatestPrice = 1e6;

}  // namespace

double charge_by_tiers(const std::vector<PriceTier>& tiers, double units) {
    double charge = 0.0;
    double below = 0.0;
    for (const PriceTier& tier : tiers) {
        if (units <= below) break;
        const double top = tier.up_to ? std::min(*tier.up_to, units) : units;
        charge += (top - below) * tier.price;
        below = top;
    }
    return charge;
}

WaterCost water_cost(const WaterPrice& price, const Monthly<double>& watering_l) {
    WaterCost cost;
    const double with_sewer = 1.0 + price.sewer_share;
    const double indoor = charge_by_tiers(price.tiers, price.indoor_units_per_bill) * with_sewer;
    for (int first = 0; first < kMonths; first += price.billing_months) {
        const auto begin = static_cast<std::size_t>(first);
        const std::size_t end = begin + static_cast<std::size_t>(price.billing_months);
        double litres = 0.0;
        for (std::size_t m = begin; m < end; ++m) litres += watering_l[m];
        const double units = price.indoor_units_per_bill + litres / price.litres_per_unit;
        const double added = charge_by_tiers(price.tiers, units) * with_sewer - indoor;
        for (std::size_t m = begin; m < end && litres > 0.0; ++m)
            cost.watering_by_month[m] = added * watering_l[m] / litres;
        cost.watering += litres > 0.0 ? added : 0.0;
        cost.indoor += indoor;
        cost.fixed += price.fixed_per_bill;
    }
    return cost;
}

Result<void> check_water_price(const WaterPrice& price) {
    const auto refuse = [](const std::string& field, const std::string& why) {
        return fail(ErrorCode::bad_input, "water price: " + field + ' ' + why);
    };
    const auto number = [](double value) { return " (it is " + number_text(value) + ')'; };
    if (!is_within(price.litres_per_unit, 0.001, 1e9))
        return refuse("unit", "must hold a positive volume" + number(price.litres_per_unit));
    if (price.billing_months < 1 || price.billing_months > kMonths ||
        kMonths % price.billing_months != 0) {
        return refuse("billing_months",
                      "must be 1, 2, 3, 4, 6 or 12" + number(price.billing_months));
    }
    if (!is_within(price.fixed_per_bill, 0.0, kGreatestPrice))
        return refuse("fixed", "must be 0 or more" + number(price.fixed_per_bill));
    if (!is_within(price.indoor_units_per_bill, 0.0, 1e6)) {
        return refuse("indoor_use", "must be 0 or more" + number(price.indoor_units_per_bill));
    }
    if (!is_within(price.sewer_share, 0.0, 3.0))
        return refuse("sewer_share", "must be a share from 0 to 3" + number(price.sewer_share));
    if (price.tiers.empty()) return refuse("tiers", "must hold at least one price");
    double below = 0.0;
    for (std::size_t i = 0; i < price.tiers.size(); ++i) {
        const PriceTier& tier = price.tiers[i];
        const std::string name = "tier " + std::to_string(i + 1);
        const bool is_last = i + 1 == price.tiers.size();
        if (!is_within(tier.price, 0.0, kGreatestPrice))
            return refuse(name, "must have a price of 0 or more" + number(tier.price));
        if (is_last && tier.up_to) {
            return refuse(name,
                          "is the last and must have no up_to: what lies above it needs a "
                          "price too");
        }
        if (is_last) break;
        if (!tier.up_to) return refuse(name, "needs up_to, since another tier follows it");
        if (!(*tier.up_to > below) || !std::isfinite(*tier.up_to))
            return refuse(
                name,
                "ends at " + number_text(*tier.up_to) + ", which is not above " +
                    (i == 0 ? "0" : "tier " + std::to_string(i) + " (" + number_text(below) + ")"));
        below = *tier.up_to;
    }
    return {};
}

}  // namespace thirstline
