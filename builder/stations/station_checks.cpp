#include "builder/stations/station_checks.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <tuple>

#include "builder/inputs/statistics.hpp"
#include "builder/reference_et/air.hpp"
#include "builder/reference_et/humidity_forms.hpp"

namespace thirstline {

namespace {

constexpr double kMinRangeC = 0.5;
constexpr double kGreatestRangeC = 30.0;
constexpr double kGreatestMeanGapC = 4.0;
constexpr std::size_t kInvalidMonthsOfRejectedYear = 3;
constexpr double kOverSaturation = 1.05;
constexpr double kFarFromTerrainM = 500.0;

constexpr std::size_t kMinStationsOfGroup = 4;
constexpr std::size_t kMinGroups = 5;
constexpr double kMinGroupGapC = 6.0;
constexpr double kGroupGapInDeviations = 6.0;
// Converts the median absolute deviation of a normal distribution to its standard deviation.
constexpr double kDeviationOfMedian = 1.4826;
constexpr int kMinMonthsOfRange = 6;

std::string formatted(const char* format, double a, double b) {
    char text[96];
    std::snprintf(text, sizeof text, format, a, b);
    return text;
}

/// Source of Tmax, source of Tmin, country.
using GroupKey = std::tuple<int, int, std::string>;
struct Group {
    std::vector<std::size_t> stations;
    std::vector<double> gaps_c;  ///< of the stations with a background
};

/// Mean over the months that have both of (range − background range); NaN if there are few.
double range_gap_c(const Station& station, const Monthly<double>& background_range_c) {
    const Monthly<double>& tmax = values_of(station, Variable::tmax);
    const Monthly<double>& tmin = values_of(station, Variable::tmin);
    double sum = 0.0;
    int months = 0;
    for (std::size_t month = 0; month < kMonths; ++month) {
        const double gap = tmax[month] - tmin[month] - background_range_c[month];
        if (std::isnan(gap)) continue;
        sum += gap;
        ++months;
    }
    return months >= kMinMonthsOfRange ? sum / months : kUnknown;
}

std::map<GroupKey, Group> groups_of(const StationSet& set,
                                    std::span<const Monthly<double>> background_range_c) {
    std::map<GroupKey, Group> groups;
    for (std::size_t s = 0; s < set.stations.size() && s < background_range_c.size(); ++s) {
        const Station& station = set.stations[s];
        const StationNormals* tmax = normals_of(station, Variable::tmax);
        const StationNormals* tmin = normals_of(station, Variable::tmin);
        if (tmax == nullptr || tmin == nullptr) continue;
        Group& group = groups[{tmax->source, tmin->source, station.country}];
        group.stations.push_back(s);
        const double gap_c = range_gap_c(station, background_range_c[s]);
        if (!std::isnan(gap_c)) group.gaps_c.push_back(gap_c);
    }
    std::erase_if(
        groups, [](const auto& entry) { return entry.second.gaps_c.size() < kMinStationsOfGroup; });
    return groups;
}

void check_groups(StationSet& set, std::span<const Monthly<double>> background_range_c) {
    const std::map<GroupKey, Group> groups = groups_of(set, background_range_c);
    std::vector<double> medians;
    for (const auto& [key, group] : groups) medians.push_back(median(group.gaps_c));
    double usual_c = 0.0;
    double deviation_c = 0.0;
    if (medians.size() >= kMinGroups) {
        usual_c = median(medians);
        std::vector<double> distances;
        for (const double each : medians) distances.push_back(std::abs(each - usual_c));
        deviation_c = kDeviationOfMedian * median(distances);
    }
    const double most_c = std::max(kMinGroupGapC, kGroupGapInDeviations * deviation_c);
    for (const auto& [key, group] : groups) {
        const double gap_c = median(group.gaps_c) - usual_c;
        if (std::abs(gap_c) <= most_c) continue;
        const std::string& country = std::get<2>(key);
        const StationFinding finding{
            formatted("range %+.1f degC against the background's, over %.0f stations", gap_c,
                      static_cast<double>(group.stations.size())) +
                (country.empty() ? "" : " of " + country),
            "not a mean daily maximum or minimum", "values not used; the mean is kept"};
        for (const std::size_t station : group.stations) {
            reject_station_value(set, station, Variable::tmax, std::nullopt, finding);
            reject_station_value(set, station, Variable::tmin, std::nullopt, finding);
        }
    }
}

/// One contradiction among the temperatures of a month.
struct InvalidMonth {
    int month = 0;  ///< 1 to 12
    std::string value;
};

std::string extremes_text(double tmax, double tmin) {
    return formatted("%.1f and %.1f degC", tmax, tmin);
}

/// A single error affects one month. Errors in several months are systematic, and then the rest of
/// the year is not reliable either.
void reject_months(StationSet& set, std::size_t station, std::initializer_list<Variable> variables,
                   const std::vector<InvalidMonth>& invalid, const std::string& rule) {
    if (invalid.empty()) return;
    const bool whole_year = invalid.size() >= kInvalidMonthsOfRejectedYear;
    for (const Variable variable : variables) {
        if (whole_year) {
            reject_station_value(
                set, station, variable, std::nullopt,
                {invalid.front().value + " in " +
                     std::string(kMonthNames[static_cast<std::size_t>(invalid.front().month) - 1]) +
                     ", and so in " + std::to_string(invalid.size()) + " months",
                 rule, "the year's values not used"});
            continue;
        }
        for (const InvalidMonth& each : invalid) {
            reject_station_value(set, station, variable, each.month,
                                 {each.value, rule, "value not used"});
        }
    }
}

void check_extremes(StationSet& set, std::size_t s) {
    const Monthly<double>& tmax = values_of(set.stations[s], Variable::tmax);
    const Monthly<double>& tmin = values_of(set.stations[s], Variable::tmin);
    std::vector<InvalidMonth> reversed;
    std::vector<InvalidMonth> impossible_range;
    for (int month = 1; month <= kMonths; ++month) {
        const auto m = static_cast<std::size_t>(month) - 1;
        const double range_c = tmax[m] - tmin[m];
        if (range_c <= 0.0) {
            reversed.push_back({month, extremes_text(tmax[m], tmin[m])});
        } else if (range_c < kMinRangeC || range_c > kGreatestRangeC) {
            impossible_range.push_back({month, extremes_text(tmax[m], tmin[m])});
        }
    }
    reject_months(set, s, {Variable::tmax, Variable::tmin}, reversed,
                  "minimum temperature not below the maximum");
    reject_months(set, s, {Variable::tmax, Variable::tmin}, impossible_range,
                  "implausible daily range");
}

void check_means(StationSet& set, std::size_t s) {
    const Monthly<double>& tmax = values_of(set.stations[s], Variable::tmax);
    const Monthly<double>& tmin = values_of(set.stations[s], Variable::tmin);
    const Monthly<double>& tmean = values_of(set.stations[s], Variable::tmean);
    std::vector<InvalidMonth> invalid;
    for (int month = 1; month <= kMonths; ++month) {
        const auto m = static_cast<std::size_t>(month) - 1;
        // Comparisons with an unknown value are false.
        const bool outside = tmean[m] >= tmax[m] || tmean[m] <= tmin[m];
        if (!outside && !(std::abs((tmax[m] + tmin[m]) / 2.0 - tmean[m]) > kGreatestMeanGapC))
            continue;
        invalid.push_back({month, value_text(Variable::tmax, tmax[m]) + " and " +
                                      value_text(Variable::tmin, tmin[m]) + ", mean " +
                                      value_text(Variable::tmean, tmean[m])});
    }
    reject_months(set, s, {Variable::tmax, Variable::tmin, Variable::tmean}, invalid,
                  "maximum and minimum contradict the mean");
}

/// The maximum vapour pressure of a month's air, from its known temperatures; NaN if it is frozen
/// or no temperature is known.
double saturation_kpa(double tmax, double tmin, double tmean) {
    const double mean = std::isnan(tmean) ? (tmax + tmin) / 2.0 : tmean;
    if (!(mean > 0.0)) return kUnknown;
    if (!std::isnan(tmax) && !std::isnan(tmin))
        return mean_saturation_vapour_pressure_kpa(tmax, tmin);
    return saturation_vapour_pressure_kpa(mean);
}

/// The two in another order than their names say: columns that were exchanged.
void check_order(StationSet& set, std::size_t s, int month, Variable maximum, Variable minimum) {
    const auto m = static_cast<std::size_t>(month) - 1;
    const double highest = values_of(set.stations[s], maximum)[m];
    const double lowest = values_of(set.stations[s], minimum)[m];
    if (!(lowest > highest)) return;
    for (const Variable variable : {maximum, minimum}) {
        reject_station_value(
            set, s, variable, month,
            {value_text(maximum, highest) + " and " + value_text(minimum, lowest),
             "minimum of humidity or its deficit over the maximum", "value not used"});
    }
}

void check_humidity(StationSet& set, std::size_t s, int month) {
    const auto m = static_cast<std::size_t>(month) - 1;
    const Station& station = set.stations[s];
    check_order(set, s, month, Variable::relative_humidity_max, Variable::relative_humidity_min);
    check_order(set, s, month, Variable::vapour_pressure_deficit_max,
                Variable::vapour_pressure_deficit_min);
    const double saturation =
        saturation_kpa(values_of(station, Variable::tmax)[m], values_of(station, Variable::tmin)[m],
                       values_of(station, Variable::tmean)[m]);
    const auto check = [&](Variable variable, double vapour_pressure) {
        if (!(vapour_pressure > kOverSaturation * saturation)) return;
        reject_station_value(
            set, s, variable, month,
            {formatted("%.2f kPa, saturation %.2f kPa", vapour_pressure, saturation),
             "humidity over saturation", "value not used"});
    };
    check(Variable::vapour_pressure, values_of(station, Variable::vapour_pressure)[m]);
    check(Variable::dew_point,
          vapour_pressure_from_dew_point_kpa(values_of(station, Variable::dew_point)[m]));
    check(Variable::specific_humidity, vapour_pressure_from_specific_humidity_kpa(
                                           values_of(station, Variable::specific_humidity)[m],
                                           pressure_kpa(station.elevation_m)));
    check(Variable::vapour_pressure_deficit,
          values_of(station, Variable::vapour_pressure_deficit)[m]);
}

void check_elevation(StationSet& set, std::size_t s, double terrain_m) {
    const double own_m = set.stations[s].elevation_m;
    if (std::isnan(own_m)) {
        if (!std::isnan(terrain_m))
            return replace_station_elevation(set, s, terrain_m, "elevation is not known");
        report_station(set, s, std::nullopt, std::nullopt,
                       {"", "elevation is not known", "station not used"});
        for (StationNormals& normals : set.stations[s].normals) {
            set.tallies[static_cast<std::size_t>(normals.source)].used -=
                known_months(normals.values);
            normals.values = kUnknownYear;
        }
    } else if (std::abs(own_m - terrain_m) >= kFarFromTerrainM) {
        report_station(set, s, std::nullopt, std::nullopt,
                       {formatted("%.0f m, terrain model %.0f m", own_m, terrain_m),
                        "elevation far from the terrain model", "used", true});
    }
}

}  // namespace

void check_stations(StationSet& set, std::span<const double> terrain_m,
                    std::span<const Monthly<double>> background_range_c) {
    check_groups(set, background_range_c);
    for (std::size_t s = 0; s < set.stations.size(); ++s) {
        check_extremes(set, s);
        check_means(set, s);
        for (int month = 1; month <= kMonths; ++month) check_humidity(set, s, month);
        check_elevation(set, s, s < terrain_m.size() ? terrain_m[s] : kUnknown);
    }
}

void replace_station_elevation(StationSet& set, std::size_t station, double elevation_m,
                               const std::string& rule) {
    const double own_m = set.stations[station].elevation_m;
    char taken[64];
    std::snprintf(taken, sizeof taken, "the terrain model's %.0f m was taken", elevation_m);
    report_station(set, station, std::nullopt, std::nullopt,
                   {value_text(Variable::elevation, own_m), rule, taken});
    set.stations[station].elevation_m = elevation_m;
}

}  // namespace thirstline
