// A small database of an invented valley, the upper Merrow, for the tests of the look-up.
//
// Five by five points a quarter of a degree apart, from 47° N, 31° W; the north-eastern point has
// no data. With r and c the point's row and column and m the month's index:
//     ETo 0.01·(kEtoOfMonth[m] + 8·r) mm/day      its standard error 0.20 mm/day
//     rain kRainOfMonth[m] + 4·c mm               its standard error 10 mm
//     Tmax 2·m + 0.5 °C, Tmin −3 °C               elevation 100 + 40·r m
// ETo increases with elevation by 0.3 mm/day per km. The nearest point is used up to 40 km away.
#pragma once

#include <string>

#include "schema/base/calendar.hpp"
#include "schema/database/database.hpp"
#include "schema/tile/method.hpp"

namespace thirstline::test {

inline constexpr Monthly<int> kEtoOfMonth{40, 75, 150, 260, 380, 470, 560, 500, 330, 170, 70, 35};
inline constexpr Monthly<int> kRainOfMonth{120, 95, 80, 60, 45, 30, 15, 20, 50, 85, 110, 125};
inline constexpr int kEtoStepOfRow = 8;
inline constexpr int kRainStepOfColumn = 4;

struct MerrowOptions {
    bool temperature = true;
    bool standard_errors = true;
    bool no_eto_at_all = false;
    bool stations = false;
    std::string reference = "short";
    Method method{.equation = EtoEquation::penman_monteith,
                  .humidity = HumidityFrom::dew_point,
                  .wind = WindFrom::nearby};
};

/// Writes a new file in the tests' folder; returns its path.
[[nodiscard]] std::string merrow_database(const MerrowOptions& options = {});

/// The same, opened.
[[nodiscard]] std::unique_ptr<Database> open_merrow(const MerrowOptions& options = {});

/// A path of that name in the tests' folder, which is removed when the tests end.
[[nodiscard]] std::string path_in_test_folder(const std::string& name);

/// Writes a file there; returns its path.
[[nodiscard]] std::string file_in_test_folder(const std::string& name, const std::string& content);

}  // namespace thirstline::test
