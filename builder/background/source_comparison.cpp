#include "builder/background/source_comparison.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <functional>

#include "builder/inputs/statistics.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMinPlaces = 10;
constexpr std::size_t kMinPlacesOfCommonMistake = 3;
constexpr double kMaxRatio = 3.0;
constexpr double kNearMistake = 0.15;  // of the logarithm
constexpr double kAgreed = 0.4;        // of the logarithm, for half the places
constexpr double kMinRainMm = 10.0;
constexpr int kMinMonths = 3;
constexpr double kMaxTemperatureDifference = 15.0;
constexpr double kBetterByC = 8.0;
constexpr double kMaxShiftedMisfit = 0.4;
constexpr double kMinMisfitC = 3.0;
constexpr double kMinMisfitOfRoots = 0.33;
constexpr double kMaxRainOfYear = 13'000.0;
constexpr std::size_t kMinPlacesOfRain = 20;

bool is_temperature(Variable variable) {
    return variable == Variable::tmax || variable == Variable::tmin ||
           variable == Variable::tmean || variable == Variable::dew_point;
}

/// A mistake that multiplies values by this factor.
struct CommonMistake {
    double ratio;
    const char* cause;
    SourceKeys remedy;           ///< for the source whose values are too large by the factor
    SourceKeys remedy_of_other;  ///< if the values of the other source are too small by the factor
    std::string_view only_for_unit = {};  ///< of rain or ETo; empty: of everything
};

const std::array<CommonMistake, 13> kMistakes{{
    {10.0, "its values are probably in tenths", {"", 0.1}, {"", 10.0}},
    {100.0, "its values are probably in hundredths", {"", 0.01}, {"", 100.0}},
    {1000.0, "its values are probably in thousandths", {"", 0.001}, {"", 1000.0}},
    {0.1, "its unit is probably ten times as great", {"", 10.0}, {"", 0.1}},
    {0.01, "its unit is probably a hundred times as great", {"", 100.0}, {"", 0.01}},
    {0.001, "its unit is probably a thousand times as great", {"", 1000.0}, {"", 0.001}},
    {25.4, "its values are probably in millimeters, not inches", {"mm"}, {"in"}, "in"},
    {1.0 / 25.4, "its values are probably in inches, not millimeters", {"in"}, {"mm"}, "mm"},
    {1.0 / 25.4, "its values are probably in inches, not millimeters", {"in"}, {"mm"}, "mm/month"},
    {100.0 / 25.4, "its values are probably in hundredths of an inch", {"in", 0.01}, {}, "mm"},
    {30.44, "its values are probably totals of the month", {"mm/month"}, {"mm/day"}, "mm/day"},
    {1.0 / 30.44, "its values are probably means of a day", {"mm/day"}, {"mm/month"}, "mm"},
    {1.0 / 30.44, "its values are probably means of a day", {"mm/day"}, {"mm/month"}, "mm/month"},
}};

bool may_be(const CommonMistake& mistake, Variable variable, std::string_view unit) {
    const bool is_depth = variable == Variable::rain || variable == Variable::eto;
    return mistake.only_for_unit.empty() || (is_depth && unit == mistake.only_for_unit);
}

const CommonMistake* nearest_mistake(double log_ratio, Variable variable, std::string_view unit) {
    const CommonMistake* nearest = nullptr;
    double least = kNearMistake;
    for (const CommonMistake& mistake : kMistakes) {
        const double off = std::abs(log_ratio - std::log(mistake.ratio));
        if (!may_be(mistake, variable, unit) || off >= least) continue;
        nearest = &mistake;
        least = off;
    }
    return nearest;
}

std::string times_text(double ratio) {
    char text[32];
    std::snprintf(text, sizeof text, ratio < 0.1 ? "%.3f times" : "%.3g times", ratio);
    return text;
}

/// Whether both are known and large enough to give a scale.
bool is_comparable(Variable variable, double own, double other) {
    if (std::isnan(own) || std::isnan(other)) return false;
    if (variable == Variable::rain) return other >= kMinRainMm || own >= kMinRainMm;
    return other > 0.0;
}

/// Logarithms of the ratios of sums over the comparable months, one per place.
std::vector<double> log_ratios(Variable variable, std::span<const ComparedYears> places,
                               int without_month = -1) {
    std::vector<double> logs;
    for (const ComparedYears& place : places) {
        double own = 0.0;
        double other = 0.0;
        int months = 0;
        for (int month = 0; month < kMonths; ++month) {
            if (month == without_month ||
                !is_comparable(variable, place.own[month], place.other[month]))
                continue;
            own += place.own[month];
            other += place.other[month];
            ++months;
        }
        if (months >= kMinMonths && own > 0.0 && other > 0.0) logs.push_back(std::log(own / other));
    }
    return logs;
}

double median_distance(const std::vector<double>& values, double from) {
    std::vector<double> distances;
    for (const double value : values) distances.push_back(std::abs(value - from));
    return upper_median(std::move(distances));
}

std::optional<SourceMismatch> mismatch_of_scale(Variable variable, std::string_view unit,
                                                std::span<const ComparedYears> places) {
    const std::vector<double> logs = log_ratios(variable, places);
    if (logs.size() < kMinPlacesOfCommonMistake) return std::nullopt;
    const double middle = upper_median(logs);
    if (std::abs(middle) <= std::log(kMaxRatio)) return std::nullopt;
    const CommonMistake* mistake = nearest_mistake(middle, variable, unit);
    const bool is_agreed = mistake != nullptr && median_distance(logs, middle) < kAgreed;
    if (logs.size() < kMinPlaces && !is_agreed) return std::nullopt;
    SourceMismatch found;
    found.finding = times_text(std::exp(middle));
    found.places = logs.size();
    if (mistake != nullptr) {
        found.cause = mistake->cause;
        found.remedy = mistake->remedy;
        found.remedy_of_other = mistake->remedy_of_other;
    }
    return found;
}

std::optional<SourceMismatch> mismatch_of_temperature(std::span<const ComparedYears> places) {
    struct Reading {
        const char* finding;
        const char* cause;
        SourceKeys remedy;
        std::function<double(double)> wrong;  ///< the value that the mistake makes of the correct
                                              ///< one
    };
    static const std::array<Reading, 5> kReadings{{
        {"1.8 times, and 32 above,",
         "its values are probably in °F",
         {"degF"},
         [](double c) { return 1.8 * c + 32.0; }},
        {"32 below, and 1.8 times less than,",
         "its values are probably in °C, not °F",
         {"degC"},
         [](double c) { return (c - 32.0) / 1.8; }},
        {"10 times",
         "its values are probably in tenths",
         {"", 0.1},
         [](double c) { return 10.0 * c; }},
        {"273.15 above",
         "its values are probably in kelvin",
         {"K"},
         [](double c) { return c + 273.15; }},
        {"273.15 below",
         "its values are probably in °C, not kelvin",
         {"degC"},
         [](double c) { return c - 273.15; }},
    }};
    const auto misfits = [&places](const std::function<double(double)>& wrong) {
        std::vector<double> all;
        for (const ComparedYears& place : places) {
            double sum = 0.0;
            int months = 0;
            for (int month = 0; month < kMonths; ++month) {
                const double misfit = std::abs(place.own[month] - wrong(place.other[month]));
                if (std::isnan(misfit)) continue;
                sum += misfit;
                ++months;
            }
            if (months >= kMinMonths) all.push_back(sum / months);
        }
        return all;
    };
    const std::vector<double> as_stated = misfits([](double c) { return c; });
    if (as_stated.size() < kMinPlacesOfCommonMistake) return std::nullopt;
    const double stated = upper_median(as_stated);
    const Reading* best = nullptr;
    double least = stated - kBetterByC;
    for (const Reading& reading : kReadings) {
        const double misfit = upper_median(misfits(reading.wrong));
        if (misfit >= least) continue;
        best = &reading;
        least = misfit;
    }
    if (best == nullptr && (stated <= kMaxTemperatureDifference || as_stated.size() < kMinPlaces))
        return std::nullopt;
    SourceMismatch found;
    found.places = as_stated.size();
    if (best != nullptr) {
        found.finding = best->finding;
        found.cause = best->cause;
        found.remedy = best->remedy;
        return found;
    }
    char text[48];
    std::snprintf(text, sizeof text, "%.0f °C away from", stated);
    found.finding = text;
    return found;
}

/// One month of a source in another unit than the rest, or a column of another variable.
std::optional<SourceMismatch> mismatch_of_month(Variable variable,
                                                std::span<const ComparedYears> places) {
    for (int month = 0; month < kMonths; ++month) {
        std::vector<double> apart;
        for (const ComparedYears& place : places) {
            if (!is_comparable(variable, place.own[month], place.other[month]) ||
                !(place.own[month] > 0.0))
                continue;
            const std::vector<double> rest = log_ratios(variable, {&place, 1}, month);
            if (!rest.empty())
                apart.push_back(std::log(place.own[month] / place.other[month]) - rest.front());
        }
        if (apart.size() < kMinPlaces) continue;
        const double middle = upper_median(apart);
        if (std::abs(middle) <= std::log(kMaxRatio)) continue;
        SourceMismatch found;
        found.finding = times_text(std::exp(middle)) + " (" +
                        std::string(kMonthNames[static_cast<std::size_t>(month)]) +
                        " beside the other months)";
        found.cause = "the column or the band of that month is probably another's";
        found.places = apart.size();
        return found;
    }
    return std::nullopt;
}

std::optional<SourceMismatch> mismatch_of_order(Variable variable,
                                                std::span<const ComparedYears> places) {
    const auto of_scale = [variable](double value) {
        return variable == Variable::rain ? std::sqrt(std::max(value, 0.0) / 30.0) : value;
    };
    Monthly<std::vector<double>> misfits;
    for (const ComparedYears& place : places) {
        Monthly<double> own{};
        Monthly<double> other{};
        double level = 0.0;
        for (std::size_t month = 0; month < kMonths; ++month) {
            own[month] = of_scale(place.own[month]);
            other[month] = of_scale(place.other[month]);
            level += other[month] / kMonths;
        }
        if (!std::isfinite(level)) continue;
        for (std::size_t shift = 0; shift < kMonths; ++shift) {
            double sum = 0.0;
            for (std::size_t month = 0; month < kMonths; ++month)
                sum += std::abs(own[(month + shift) % kMonths] - other[month]) / kMonths;
            if (variable == Variable::rain) sum /= std::max(level, 0.2);
            if (std::isfinite(sum)) misfits[shift].push_back(sum);
        }
    }
    if (misfits[0].size() < kMinPlaces) return std::nullopt;
    const double stated = upper_median(misfits[0]);
    if (stated < (variable == Variable::rain ? kMinMisfitOfRoots : kMinMisfitC))
        return std::nullopt;
    std::size_t best = 0;
    double least = kMaxShiftedMisfit * stated;
    for (std::size_t shift = 1; shift < kMonths; ++shift) {
        const double misfit = upper_median(misfits[shift]);
        if (misfit >= least) continue;
        best = shift;
        least = misfit;
    }
    if (best == 0) return std::nullopt;
    SourceMismatch found;
    found.finding = "out of season with";
    found.cause = "its months probably begin with " + std::string(kMonthNames[kMonths - best]);
    found.places = misfits[0].size();
    return found;
}

std::string number_text(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%g", value);
    return text;
}

std::string keys_text(const SourceKeys& keys, Variable variable, const NamedSource& source) {
    const auto assigned = [&](const char* key, const char* keys_by_variable,
                              const std::string& value) {
        return source.by_variable ? std::string(keys_by_variable) + " = { " +
                                        std::string(variable_name(variable)) + " = " + value + " }"
                                  : std::string(key) + " = " + value;
    };
    std::string text;
    if (!keys.unit.empty()) text = assigned("unit", "units", "\"" + keys.unit + "\"");
    const auto add = [&text](const std::string& assignment) {
        text += (text.empty() ? "" : " and ") + assignment;
    };
    if (keys.scale != 1.0) {
        if (source.is_scale_of_file) add("scale_of_file = \"wrong\"");
        add(assigned("scale", "scale", number_text(source.scale * keys.scale)));
        if (source.offset != 0.0)
            add(assigned("offset", "offset", number_text(source.offset * keys.scale)));
    }
    return text.empty() ? text
                        : "set " + text + " in the [[" + source.table + "]] at " + source.where;
}

}  // namespace

Error mismatch_error(const SourceMismatch& mismatch, Variable variable, const NamedSource& source,
                     const NamedSource& other) {
    std::string message = source.where + ": " + std::string(variable_name(variable)) + " of the " +
                          source.table + " \"" + source.name + "\" is " + mismatch.finding +
                          " that of the " + other.table + " \"" + other.name + "\" (median of " +
                          std::to_string(mismatch.places) + " places)";
    if (!mismatch.cause.empty()) message += ": " + mismatch.cause;
    std::string hint = keys_text(mismatch.remedy, variable, source);
    if (hint.empty()) hint = "correct its unit, scale, columns or months";
    const std::string of_other = keys_text(mismatch.remedy_of_other, variable, other);
    if (!of_other.empty())
        hint += "; or, if the " + other.table + " \"" + other.name + "\" is wrong, " + of_other;
    return {ErrorCode::bad_input, std::move(message), std::move(hint)};
}

std::optional<SourceMismatch> mismatch_of(Variable variable, std::string_view unit,
                                          std::span<const ComparedYears> places) {
    if (is_temperature(variable)) {
        if (auto found = mismatch_of_order(variable, places)) return found;
        return mismatch_of_temperature(places);
    }
    if (auto found = mismatch_of_scale(variable, unit, places)) return found;
    if (variable == Variable::rain) {
        if (auto found = mismatch_of_order(variable, places)) return found;
    }
    return mismatch_of_month(variable, places);
}

bool has_impossible_rain(std::span<const Monthly<double>> rain_mm) {
    std::vector<double> years;
    for (const Monthly<double>& months : rain_mm) {
        double sum = 0.0;
        for (const double month : months) sum += month;
        if (std::isfinite(sum)) years.push_back(sum);
    }
    return years.size() >= kMinPlacesOfRain && quantile(std::move(years), 0.95) > kMaxRainOfYear;
}

}  // namespace thirstline
