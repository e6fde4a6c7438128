// What became of the records of a source: the months that are void and why, the years behind each
// normal, reference ET by day beside that which the network reports, and trends.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "builder/records/completeness.hpp"
#include "builder/records/record_step.hpp"
#include "builder/records/trend.hpp"
#include "builder/records/year_slopes.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

struct YearAndMonth {
    std::int16_t year = 0;
    std::int8_t month = 0;  ///< 0 is January
    bool operator==(const YearAndMonth&) const = default;
};

struct VoidMonths {
    VoidReason reason = VoidReason::none;
    std::vector<YearAndMonth> months;  ///< in order of time
};

/// One variable of a station.
struct VariableFindings {
    Variable variable = Variable::tmax;
    Monthly<int> years{};           ///< with a value, by calendar month
    std::vector<VoidMonths> voids;  ///< in the order of the reasons; only those that occur
};

/// Reference ET of days of which both the network's value and the weather are known.
struct EtoComparison {
    std::int64_t days = 0;
    double reported_mm = 0.0;         ///< sum of the network's values
    double computed_mm = 0.0;         ///< sum of the values from the weather
    double difference = 0.0;          ///< sum of reported − computed
    double squared_difference = 0.0;  ///< sum of its squares

    void add(double reported_mm_per_day, double computed_mm_per_day);
    /// Reported over computed; NaN without days.
    [[nodiscard]] double ratio() const;
    /// Standard deviation of the difference of a day, mm/day; NaN without days.
    [[nodiscard]] double spread_mm_per_day() const;
};

struct StationFindings {
    std::string name;
    std::string id;
    std::vector<VariableFindings> variables;
    EtoComparison eto;
    /// Mean over the year of the normals, mm/day; NaN if unknown in any month: as the network
    /// reports it, from the weather of each day (or hour), and from the monthly means of the
    /// weather.
    double reported_eto_mm_per_day = std::numeric_limits<double>::quiet_NaN();
    double daily_eto_mm_per_day = std::numeric_limits<double>::quiet_NaN();
    double monthly_eto_mm_per_day = std::numeric_limits<double>::quiet_NaN();
    /// mm a year; of reference ET as the network reports it, else from the weather of each day.
    std::optional<YearlyTrend> rain_trend;
    std::optional<YearlyTrend> eto_trend;
    std::optional<YearsOfNeed> years;
};

/// Of one [[records]] of a recipe.
struct RecordFindings {
    std::string source;
    RecordStep step = RecordStep::days;
    int first_year = 0;
    int last_year = 0;
    CompletenessRules rules;
    std::int64_t months_used = 0;  ///< values of one variable in one month of one year
    std::array<std::int64_t, kVoidReasons> months_void{};  ///< by reason
    std::int64_t rows_outside_period = 0;
    std::vector<StationFindings> stations;
};

}  // namespace thirstline
