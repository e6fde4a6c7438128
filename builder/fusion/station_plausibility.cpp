#include "builder/fusion/station_plausibility.hpp"

#include <algorithm>
#include <cmath>

#include "builder/fusion/rain_scale.hpp"

namespace thirstline {

namespace {

constexpr double kSofteningMmPerDay = 0.05;
constexpr double kMountainReliefM = 150.0;
constexpr double kMinMonthMmPerDay = 2.0;
// Factors of rain: of one month against the rest of the year, and of a year that is too dry by the
// mean of both references, the closer of which says at least kDryByEither. Mountains may be drier
// by kMountains more. A year that is too wet is not judged so: in the Western Ghats a station with
// 5,900 mm is right, with 550 mm at its neighbours and 1,300 mm in the grid.
const double kMonthBeyondRest = std::log(5.5);
const double kDryByBoth = std::log(5.0);
const double kDryByEither = std::log(3.3);
const double kMountains = std::log(1.3);
// The season is wrong if the misfit is this large, and becomes this share of it when shifted.
constexpr double kMaxShiftedShare = 0.45;

struct Bounds {
    double year;
    double year_among_neighbours;
    double month;
    double season;  ///< mean misfit of the months
    double jump;    ///< from the adjacent months, for a month that is not credible
};

Bounds bounds_of(Driver driver) {
    switch (driver) {
        case Driver::mean_temperature:
            return {6.0, 3.5, 9.0, 5.0, 7.0};
        case Driver::temperature_range:
            return {10.0, 8.0, 9.5, 8.0, 8.0};
        case Driver::humidity:
            return {0.35, 0.2, 0.75, 0.5, 0.5};
        case Driver::log_wind:
            return {std::log(4.0), std::log(2.5), std::log(6.0), std::log(4.0), std::log(3.0)};
        case Driver::clearness:
            return {0.25, 0.15, 0.35, 0.25, 0.2};
        case Driver::rain_root:
            return {std::log(5.0), std::log(2.5), std::log(6.0), std::log(2.2), std::log(4.0)};
    }
    return {};
}

/// A month's value for the average over a year: rain is a sum, not a sum of roots.
double as_amount(Driver driver, double value) {
    return driver == Driver::rain_root ? std::max(value, 0.0) * std::max(value, 0.0) : value;
}

/// Own value minus the reference; for rain the logarithm of their ratio.
double difference(Driver driver, double own, double other) {
    if (driver != Driver::rain_root) return own - other;
    return std::log((own + kSofteningMmPerDay) / (other + kSofteningMmPerDay));
}

struct Year {
    Monthly<double> amount{};
    double mean = 0.0;

    Year(Driver driver, const Monthly<double>& values) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            amount[month] = as_amount(driver, values[month]);
            mean += amount[month] / kMonths;
        }
    }
    [[nodiscard]] double mean_without(std::size_t month) const {
        return (mean * kMonths - amount[month]) / (kMonths - 1);
    }
    [[nodiscard]] double beside(std::size_t month) const {
        return (amount[(month + 1) % kMonths] + amount[(month + kMonths - 1) % kMonths]) / 2.0;
    }
};

/// The smaller of the differences from both references: 0 if their signs differ.
double agreed(double from_neighbours, double from_background) {
    if (from_neighbours * from_background <= 0.0) return 0.0;
    return std::abs(from_neighbours) < std::abs(from_background) ? from_neighbours
                                                                 : from_background;
}

/// A month of rain that exceeds the rest of the year far more than in both references: a place may
/// be wetter than they are in all months.
bool has_wrong_month_of_rain(const Bounds& bounds, const Year& own, const Year& neighbours,
                             const Year& background) {
    constexpr auto kRain = Driver::rain_root;
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (own.amount[month] < kMinMonthMmPerDay) continue;
        const auto beyond_rest = [&](const Year& other) {
            return difference(kRain, own.amount[month], other.amount[month]) -
                   difference(kRain, own.mean_without(month), other.mean_without(month));
        };
        const double jump = difference(kRain, own.amount[month], own.beside(month)) -
                            difference(kRain, neighbours.amount[month], neighbours.beside(month));
        if (std::min(beyond_rest(neighbours), beyond_rest(background)) > kMonthBeyondRest &&
            jump > bounds.jump)
            return true;
    }
    return false;
}

bool has_wrong_month(Driver driver, const Bounds& bounds, const Year& own, const Year& neighbours,
                     const Year& background) {
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double by = agreed(difference(driver, own.amount[month], neighbours.amount[month]),
                                 difference(driver, own.amount[month], background.amount[month]));
        if (std::abs(by) <= bounds.month) continue;
        if (driver == Driver::rain_root &&
            std::max(own.amount[month], neighbours.amount[month]) < kMinMonthMmPerDay)
            continue;
        const double rest =
            difference(driver, own.mean_without(month), neighbours.mean_without(month));
        const double jump = difference(driver, own.amount[month], own.beside(month)) -
                            difference(driver, neighbours.amount[month], neighbours.beside(month));
        if (std::abs(rest) < bounds.year_among_neighbours && std::abs(jump) > bounds.jump)
            return true;
    }
    return false;
}

double mean_misfit(Driver driver, const Year& own, const Year& other, std::size_t shift) {
    double sum = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month)
        sum += std::abs(
            difference(driver, own.amount[(month + shift) % kMonths], other.amount[month]));
    return sum / kMonths;
}

bool is_out_of_season(Driver driver, const Bounds& bounds, const Year& own, const Year& neighbours,
                      const Year& background) {
    const double as_written = mean_misfit(driver, own, neighbours, 0);
    if (as_written <= bounds.season || mean_misfit(driver, own, background, 0) <= bounds.season)
        return false;
    for (std::size_t shift = 2; shift <= kMonths - 2; ++shift) {
        if (mean_misfit(driver, own, neighbours, shift) < kMaxShiftedShare * as_written)
            return true;
    }
    return false;
}

/// Mean over the months of the logarithm of own rain, shifted by `shift` months, over another.
double mean_log_ratio(const Monthly<double>& own_roots, const Monthly<double>& other_roots,
                      std::size_t shift) {
    double sum = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month)
        sum += std::abs(rain_log_of_root(own_roots[(month + shift) % kMonths]) -
                        rain_log_of_root(other_roots[month]));
    return sum / kMonths;
}

/// By the spread of the stations around, and by the improvement from a shift of the months.
bool is_rain_of_elsewhere(const StationWitnesses& witnesses) {
    constexpr double kMaxOfSpread = 3.2;
    constexpr double kMinSpread = 0.15;
    constexpr double kMaxGain = 0.2;
    constexpr double kMaxGainAmongMountains = 0.3;
    constexpr std::size_t kShortestShift = 3;
    const double as_written = std::min(mean_log_ratio(witnesses.own, witnesses.of_neighbours, 0),
                                       mean_log_ratio(witnesses.own, witnesses.of_background, 0));
    if (as_written > kMaxOfSpread * (witnesses.neighbour_misfit + kMinSpread)) return true;
    double shifted = as_written;
    for (std::size_t shift = kShortestShift; shift <= kMonths - kShortestShift; ++shift)
        shifted = std::min(shifted, mean_log_ratio(witnesses.own, witnesses.of_neighbours, shift));
    return as_written - shifted >
           (witnesses.relief_m > kMountainReliefM ? kMaxGainAmongMountains : kMaxGain);
}

/// `from_neighbours` and `from_background` are logarithms of ratios.
bool is_too_dry(double from_neighbours, double from_background, double relief_m) {
    const double more = relief_m > kMountainReliefM ? kMountains : 0.0;
    return std::max(from_neighbours, from_background) < -kDryByEither &&
           (from_neighbours + from_background) / 2.0 < -(kDryByBoth + more);
}

}  // namespace

Plausibility plausibility_of(Driver driver, const StationWitnesses& witnesses) {
    Bounds bounds = bounds_of(driver);
    const Year own(driver, witnesses.own);
    const Year neighbours(driver, witnesses.of_neighbours);
    const Year background(driver, witnesses.of_background);
    const double from_neighbours = difference(driver, own.mean, neighbours.mean);
    const double from_background = difference(driver, own.mean, background.mean);
    const double by = agreed(from_neighbours, from_background);
    if (driver == Driver::rain_root && witnesses.relief_m > kMountainReliefM) {
        bounds.year = std::log(6.5);
        bounds.year_among_neighbours = bounds.year;
    }
    if (std::abs(by) > bounds.year ||
        has_wrong_month(driver, bounds, own, neighbours, background) ||
        is_out_of_season(driver, bounds, own, neighbours, background) ||
        (driver == Driver::rain_root &&
         (is_rain_of_elsewhere(witnesses) ||
          has_wrong_month_of_rain(bounds, own, neighbours, background) ||
          is_too_dry(from_neighbours, from_background, witnesses.relief_m))))
        return Plausibility::impossible;
    return std::abs(by) > bounds.year_among_neighbours ? Plausibility::doubtful
                                                       : Plausibility::plausible;
}

double year_as_read(Driver driver, const Monthly<double>& values) {
    double sum = 0.0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double amount = as_amount(driver, values[month]);
        sum += driver == Driver::rain_root  ? amount * kDaysInMonth[month]
               : driver == Driver::log_wind ? std::exp(amount) / kMonths
                                            : amount / kMonths;
    }
    return sum;
}

}  // namespace thirstline
