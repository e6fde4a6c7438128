// A station's days as values of months, and months as normals.
#include "builder/records/years_of_station.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "builder/records/normals_of_years.hpp"

namespace thirstline {
namespace {

constexpr int kFirstRecordYear = 2001;
constexpr int kLastRecordYear = 2004;
const DaysVisitor kNothing = [](DaysOfMonth&) {};

YearsOfStation years_of(Variable variable) {
    return YearsOfStation({variable}, kFirstRecordYear, kLastRecordYear);
}

void add_equal_days(YearsOfStation& record, int year, int month, int from, int to, double value) {
    for (int day = from; day <= to; ++day)
        EXPECT_EQ(record.add_day({year, month, day}, 0, value, kNothing), AddedValue::kept);
}

TEST(CalendarDays, AreThoseOfTheGregorianCalendar) {
    EXPECT_TRUE(record_day(2000, 1, 29));
    EXPECT_FALSE(record_day(1900, 1, 29));
    EXPECT_FALSE(record_day(2001, 1, 29));
    EXPECT_FALSE(record_day(2001, 3, 31));
    EXPECT_FALSE(record_day(2001, 12, 1));
    EXPECT_EQ(day_of_year(2000, 60), (RecordDay{2000, 1, 29}));
    EXPECT_EQ(day_of_year(2001, 60), (RecordDay{2001, 2, 1}));
    EXPECT_EQ(day_of_year(2000, 366), (RecordDay{2000, 11, 31}));
    EXPECT_FALSE(day_of_year(2001, 366));
    EXPECT_FALSE(day_of_year(2001, 0));
    EXPECT_EQ(number_in_year({2000, 2, 1}), 61);
}

// Years of few days weigh no more: 10 and 20 are 15, however many days each has.
TEST(YearsOfAStation, WeighYearsAndNotDays) {
    YearsOfStation record = years_of(Variable::tmax);
    add_equal_days(record, 2001, 0, 1, 31, 10.0);
    add_equal_days(record, 2002, 0, 5, 27, 20.0);
    record.end(kNothing);
    CompletenessRules rules;
    rules.min_years = 1;
    const auto months = record.values_of(0, rules);
    const NormalsOfYears normals = normals_of_years(months.values, rules);
    EXPECT_DOUBLE_EQ(normals.values[0], 15.0);
    EXPECT_EQ(normals.years[0], 2);
    EXPECT_EQ(months.reasons[1], VoidReason::no_data);    // within the record
    EXPECT_EQ(months.reasons[3 * 12], VoidReason::none);  // after its end
    EXPECT_TRUE(std::isnan(months.values[3 * 12]));
}

TEST(YearsOfAStation, TakeDaysInAnyOrder) {
    YearsOfStation record = years_of(Variable::tmax);
    add_equal_days(record, 2001, 0, 16, 31, 10.0);
    add_equal_days(record, 2001, 1, 1, 28, 5.0);
    add_equal_days(record, 2001, 0, 1, 15, 10.0);
    record.end(kNothing);
    const auto months = record.values_of(0, wmo_completeness());
    EXPECT_DOUBLE_EQ(months.values[0], 10.0);
    EXPECT_DOUBLE_EQ(months.values[1], 5.0);
}

TEST(YearsOfAStation, UseNeitherOfTwoValuesOfADay) {
    YearsOfStation record = years_of(Variable::rain);
    add_equal_days(record, 2001, 0, 1, 31, 1.0);
    EXPECT_EQ(record.add_day({2001, 0, 4}, 0, 1.0, kNothing), AddedValue::given_twice);
    EXPECT_EQ(record.add_day({2001, 0, 5}, 0, 9.0, kNothing), AddedValue::contradicts);
    EXPECT_EQ(record.add_day({2001, 0, 5}, 0, 1.0, kNothing), AddedValue::contradicts);
    add_equal_days(record, 2001, 1, 1, 28, 2.0);
    record.end(kNothing);
    const auto months = record.values_of(0, wmo_completeness());
    EXPECT_EQ(months.reasons[0], VoidReason::days_of_sum_missing);
    EXPECT_DOUBLE_EQ(months.values[1], 56.0);
}

// After another month was read, the days themselves are gone.
TEST(YearsOfAStation, DropAMonthOfWhichDaysComeAgainLater) {
    YearsOfStation record = years_of(Variable::tmax);
    add_equal_days(record, 2001, 0, 1, 31, 10.0);
    add_equal_days(record, 2001, 1, 1, 28, 10.0);
    add_equal_days(record, 2001, 0, 3, 3, 10.0);
    record.end(kNothing);
    EXPECT_EQ(record.values_of(0, wmo_completeness()).reasons[0], VoidReason::given_twice);
}

TEST(YearsOfAStation, DivideAReadingOfSeveralDaysOnlyWithinAMonth) {
    YearsOfStation record = years_of(Variable::rain);
    add_equal_days(record, 2001, 0, 1, 9, 1.0);
    EXPECT_EQ(record.add_reading_of_days({2001, 0, 12}, 3, 0, 30.0, kNothing), AddedValue::kept);
    add_equal_days(record, 2001, 0, 13, 31, 1.0);
    record.add_reading_of_days({2001, 1, 2}, 4, 0, 8.0, kNothing);
    add_equal_days(record, 2001, 1, 3, 28, 1.0);
    record.end(kNothing);
    const auto months = record.values_of(0, wmo_completeness());
    EXPECT_DOUBLE_EQ(months.values[0], 9.0 + 30.0 + 19.0);
    EXPECT_EQ(months.reasons[1], VoidReason::days_of_sum_missing);
}

TEST(YearsOfAStation, OfMonthsKeepTheirValues) {
    for (const Variable variable : {Variable::tmax, Variable::rain, Variable::sunshine_hours}) {
        YearsOfStation record = years_of(variable);
        EXPECT_EQ(record.add_month(2004, 1, 0, 12.5), AddedValue::kept);
        EXPECT_EQ(record.add_month(2004, 1, 0, 12.5), AddedValue::given_twice);
        EXPECT_EQ(record.add_month(2004, 2, 0, 3.0), AddedValue::kept);
        EXPECT_EQ(record.add_month(2004, 2, 0, 4.0), AddedValue::contradicts);
        EXPECT_EQ(record.add_month(2005, 1, 0, 1.0), AddedValue::outside_the_period);
        const auto months = record.values_of(0, wmo_completeness());
        EXPECT_DOUBLE_EQ(months.values[3 * 12 + 1], 12.5);
        EXPECT_EQ(months.reasons[3 * 12 + 2], VoidReason::given_twice);
    }
}

TEST(NormalsOfYears, NeedTheYearsOfEachMonthByItself) {
    std::vector<double> values(12 * 12, 1.0);
    for (std::size_t year = 0; year < 3; ++year) values[year * 12 + 6] = std::nan("");
    const NormalsOfYears normals = normals_of_years(values, wmo_completeness());
    EXPECT_EQ(normals.years[0], 12);
    EXPECT_EQ(normals.years[6], 9);
    EXPECT_DOUBLE_EQ(normals.values[0], 1.0);
    EXPECT_TRUE(std::isnan(normals.values[6]));
    EXPECT_TRUE(has_share_of_years(24, 1991, 2020, wmo_completeness()));
    EXPECT_FALSE(has_share_of_years(23, 1991, 2020, wmo_completeness()));
}

// Ten years in °C and one month in °F.
TEST(NormalsOfYears, FindAMonthInAnotherUnit) {
    std::vector<double> values;
    for (int year = 0; year < 10; ++year)
        for (int month = 0; month < 12; ++month) values.push_back(8.0 + month + 0.5 * (year % 4));
    values[5 * 12 + 3] = values[5 * 12 + 3] * 1.8 + 32.0;
    EXPECT_EQ(far_from_other_years(Variable::tmax, values), std::vector<std::size_t>{5 * 12 + 3});
    EXPECT_TRUE(far_from_other_years(Variable::rain, values).empty());
}

}  // namespace
}  // namespace thirstline
