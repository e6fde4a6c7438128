#include "lookup/demand/water_price.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "lookup/demand/exact_units.hpp"

namespace thirstline {
namespace {

WaterPrice merrow_price() {
    WaterPrice price;
    price.litres_per_unit = kLitresPerThousandGallons;
    price.fixed_per_bill = 18.0;
    price.indoor_units_per_bill = 5.0;
    price.tiers = {{10.0, 3.1}, {std::nullopt, 5.4}};
    return price;
}

Monthly<double> thousand_gallons(Monthly<double> units) {
    for (double& unit : units) unit *= kLitresPerThousandGallons;
    return units;
}

// By hand: 12 units are 10 at 3.10 and 2 at 5.40.
TEST(WaterPrice, ChargesByTiers) {
    const WaterPrice price = merrow_price();
    EXPECT_DOUBLE_EQ(charge_by_tiers(price.tiers, 12.0), 10 * 3.1 + 2 * 5.4);
    EXPECT_DOUBLE_EQ(charge_by_tiers(price.tiers, 10.0), 31.0);
    EXPECT_DOUBLE_EQ(charge_by_tiers(price.tiers, 4.0), 12.4);
    EXPECT_EQ(charge_by_tiers(price.tiers, 0.0), 0.0);
}

// By hand: July's 9 units above 5 indoors are 5 at 3.10 and 4 at 5.40; June's 2 are at 3.10.
TEST(WaterPrice, IndoorUseFillsTheTiersFirst) {
    const WaterCost cost =
        water_cost(merrow_price(), thousand_gallons({0, 0, 0, 0, 0, 2, 9, 0, 0, 0, 0, 0}));
    EXPECT_NEAR(cost.watering_by_month[5], 6.2, 1e-9);
    EXPECT_NEAR(cost.watering_by_month[6], 5 * 3.1 + 4 * 5.4, 1e-9);
    EXPECT_NEAR(cost.watering, 6.2 + 37.1, 1e-9);
    EXPECT_NEAR(cost.indoor, 12 * 15.5, 1e-9);
    EXPECT_NEAR(cost.fixed, 216.0, 1e-9);
}

// By hand: in bills of two months June stands with May: 2 units over 5; July and August together
// 9 units; each month pays by its volume.
TEST(WaterPrice, BillsOfSeveralMonthsAndASewerShare) {
    WaterPrice price = merrow_price();
    price.billing_months = 2;
    price.sewer_share = 0.5;
    const WaterCost cost =
        water_cost(price, thousand_gallons({0, 0, 0, 0, 0, 2, 6, 3, 0, 0, 0, 0}));
    EXPECT_NEAR(cost.watering_by_month[5], 6.2 * 1.5, 1e-9);
    EXPECT_NEAR(cost.watering_by_month[6], 37.1 * 1.5 * 6 / 9, 1e-9);
    EXPECT_NEAR(cost.watering_by_month[7], 37.1 * 1.5 * 3 / 9, 1e-9);
    EXPECT_NEAR(cost.fixed, 108.0, 1e-9);
}

TEST(WaterPrice, RefusesWhatCannotBe) {
    EXPECT_TRUE(check_water_price(merrow_price()));
    const auto message_after = [](auto change) {
        WaterPrice price = merrow_price();
        change(price);
        const auto checked = check_water_price(price);
        return checked ? std::string{} : checked.error().message;
    };
    EXPECT_NE(message_after([](WaterPrice& p) { p.billing_months = 5; }).find("billing_months"),
              std::string::npos);
    EXPECT_NE(message_after([](WaterPrice& p) { p.tiers.clear(); }).find("tiers"),
              std::string::npos);
    EXPECT_NE(message_after([](WaterPrice& p) { p.tiers.back().up_to = 20.0; }).find("tier 2"),
              std::string::npos);
    EXPECT_NE(message_after([](WaterPrice& p) {
                  p.tiers.insert(p.tiers.begin() + 1, PriceTier{8.0, 4.0});
              }).find("which is not above tier 1"),
              std::string::npos);
    EXPECT_NE(message_after([](WaterPrice& p) {
                  p.fixed_per_bill = std::numeric_limits<double>::quiet_NaN();
              }).find("fixed"),
              std::string::npos);
}

}  // namespace
}  // namespace thirstline
