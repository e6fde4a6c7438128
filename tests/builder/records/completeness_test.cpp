// When a month of days is complete enough: WMO-No. 1203 (2017), as independent implementations
// quote it.
#include "builder/records/completeness.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

constexpr int kDaysOfApril = 30;

/// A month of thirty days without those given, from 1.
DaysPresent without(std::initializer_list<int> missing) {
    DaysPresent present = (DaysPresent{1} << kDaysOfApril) - 1U;
    for (const int day : missing) present &= ~(DaysPresent{1} << (day - 1));
    return present;
}

VoidReason reason_of_mean(DaysPresent present,
                          const CompletenessRules& rules = wmo_completeness()) {
    return void_reason_of(DaysMake::mean, present, kDaysOfApril, rules);
}

TEST(Completeness, AllowsTenMissingDaysOfAMeanAndNoEleventh) {
    EXPECT_EQ(reason_of_mean(without({1, 3, 5, 7, 9, 11, 13, 15, 17, 19})), VoidReason::none);
    EXPECT_EQ(reason_of_mean(without({1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21})),
              VoidReason::days_missing);
}

TEST(Completeness, AllowsFourMissingDaysInARowAndNoFifth) {
    EXPECT_EQ(reason_of_mean(without({1, 2, 3, 4, 27, 28, 29, 30})), VoidReason::none);
    EXPECT_EQ(reason_of_mean(without({10, 11, 12, 13, 14})), VoidReason::days_in_a_row_missing);
    EXPECT_EQ(reason_of_mean(without({26, 27, 28, 29, 30})), VoidReason::days_in_a_row_missing);
    EXPECT_EQ(longest_gap_days(without({10, 11, 12, 13, 14, 20}), kDaysOfApril), 5);
}

TEST(Completeness, OfTheOlderRuleIsFiveAndThree) {
    const CompletenessRules rules = strict_completeness();
    EXPECT_EQ(reason_of_mean(without({1, 2, 3, 10, 20}), rules), VoidReason::none);
    EXPECT_EQ(reason_of_mean(without({1, 2, 3, 10, 20, 25}), rules), VoidReason::days_missing);
    EXPECT_EQ(reason_of_mean(without({1, 2, 3, 4}), rules), VoidReason::days_in_a_row_missing);
}

TEST(Completeness, WantsEveryDayOfASumUnlessTheRecipeAllowsSome) {
    CompletenessRules rules = wmo_completeness();
    const auto sum_of = [&rules](DaysPresent present) {
        return void_reason_of(DaysMake::sum, present, kDaysOfApril, rules);
    };
    EXPECT_EQ(sum_of(without({})), VoidReason::none);
    EXPECT_EQ(sum_of(without({7})), VoidReason::days_of_sum_missing);
    rules.max_missing_of_sum = 2;
    EXPECT_EQ(sum_of(without({7, 8})), VoidReason::none);
    EXPECT_EQ(sum_of(without({7, 8, 9})), VoidReason::days_of_sum_missing);
    EXPECT_EQ(sum_of(0), VoidReason::no_data);
}

TEST(Completeness, ScalesASumToTheWholeMonthAndNotAMean) {
    EXPECT_DOUBLE_EQ(month_value(Variable::rain, 60.0, without({}), kDaysOfApril), 60.0);
    EXPECT_DOUBLE_EQ(month_value(Variable::rain, 56.0, without({7, 8}), kDaysOfApril), 60.0);
    EXPECT_DOUBLE_EQ(month_value(Variable::tmax, 560.0, without({7, 8}), kDaysOfApril), 20.0);
    EXPECT_DOUBLE_EQ(month_value(Variable::sunshine_hours, 240.0, without({}), kDaysOfApril), 8.0);
}

}  // namespace
}  // namespace thirstline
