#include "builder/evaluation/evaluation_report.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "builder/evaluation/scored_variables.hpp"
#include "schema/base/version.hpp"
#include "schema/database/history.hpp"

namespace thirstline {

namespace {

using Json = nlohmann::ordered_json;

constexpr int kRegionWidth = -18;
constexpr int kNumberWidth = 11;

constexpr std::array<DistanceClass, kDistanceClasses> kDistances{
    DistanceClass::all,       DistanceClass::to_25_km,  DistanceClass::to_50_km,
    DistanceClass::to_100_km, DistanceClass::to_250_km, DistanceClass::beyond_250_km,
    DistanceClass::as_lattice};

std::string formatted(const char* format, double value) {
    if (std::isnan(value)) return "-";
    char text[48];
    std::snprintf(text, sizeof text, format, value);
    return text;
}

/// Right-aligned in its column; left-aligned if the width is negative.
std::string padded(std::string_view text, int width) {
    const auto wanted = static_cast<std::size_t>(std::abs(width));
    const std::string blanks(wanted > text.size() ? wanted - text.size() : 0, ' ');
    return width < 0 ? std::string(text) + blanks : blanks + std::string(text);
}

std::string number_column(const char* format, double value) {
    return padded(formatted(format, value), kNumberWidth);
}

std::string heading(std::initializer_list<const char*> columns) {
    std::string text = "  " + padded("", kRegionWidth);
    for (const char* column : columns) text += padded(column, kNumberWidth);
    return text + "\n";
}

std::string_view title_of(ScoredVariable variable) {
    switch (variable) {
        case ScoredVariable::tmax:
            return "Tmax, degC";
        case ScoredVariable::tmin:
            return "Tmin, degC";
        case ScoredVariable::rain:
            return "Rain, % of observed";
        case ScoredVariable::eto:
            return "ETo by Penman-Monteith, everything estimated, mm/day";
        case ScoredVariable::eto_own_temperature:
            return "ETo by Penman-Monteith, temperatures the station's own, mm/day";
        case ScoredVariable::eto_temperature_only:
            return "ETo by Hargreaves-Samani, mm/day";
        case ScoredVariable::share_of_peak:
            return "Share of the peak month's ETo by Penman-Monteith, points";
        case ScoredVariable::share_of_peak_temperature_only:
            return "Share of the peak month's ETo by Hargreaves-Samani, points";
        case ScoredVariable::eto_in_peak_month:
            return "ETo by Penman-Monteith in the peak month, mm/day";
        case ScoredVariable::eto_temperature_only_in_peak_month:
            return "ETo by Hargreaves-Samani in the peak month, mm/day";
    }
    return "";
}

/// A score's error in display units: rain in percent of the observed rain, other variables in their
/// unit.
double shown_error(const Score* score) {
    if (score == nullptr) return kUnknown;
    if (score->variable != ScoredVariable::rain) return score->mae;
    return score->observed_mean > 0.0 ? kPercent * score->mae / score->observed_mean : kUnknown;
}

bool is_bias_in_percent(ScoredVariable variable) {
    const std::string_view unit = scored_variable_unit(variable);
    return unit != "degC" && unit != "points";
}

double shown_bias(const Score& score) {
    if (!is_bias_in_percent(score.variable)) return score.bias;
    return score.observed_mean > 0.0 ? kPercent * score.bias / score.observed_mean : kUnknown;
}

double quotient(double a, double b) {
    return b > 0.0 ? a / b : kUnknown;
}

/// The tables of one variable.
class VariableText {
  public:
    VariableText(const Evaluation& evaluation, ScoredVariable variable)
        : scores_(evaluation.scores), variable_(variable) {}

    [[nodiscard]] bool has_scores() const { return at(Region::world, 0) != nullptr; }

    [[nodiscard]] std::string errors() const {
        std::string text =
            std::string(title_of(variable_)) + "\n" +
            heading({"months", "misses", "fused", "background", "nearest", "inv. dist.", "/nearest",
                     "/backgr.", is_bias_in_percent(variable_) ? "bias %" : "bias"});
        for (std::size_t r = 0; r < kRegions; ++r) {
            const auto region = static_cast<Region>(r);
            const Score* fused = at(region, 0);
            if (fused == nullptr) continue;
            const auto error = [&](Estimator estimator) {
                return shown_error(at(region, 0, estimator));
            };
            text += "  " + padded(region_name(region), kRegionWidth) +
                    padded(std::to_string(fused->n), kNumberWidth) +
                    padded(std::to_string(fused->misses), kNumberWidth);
            for (const Estimator estimator : {Estimator::fused, Estimator::background,
                                              Estimator::nearest, Estimator::inverse_distance})
                text += number_column("%.3f", error(estimator));
            const double own = error(Estimator::fused);
            text += number_column("%.3f", quotient(own, error(Estimator::nearest))) +
                    number_column("%.3f", quotient(own, error(Estimator::background))) +
                    number_column("%+.2f", shown_bias(*fused)) + "\n";
        }
        const double hargreaves = shown_error(at(Region::world, 0, Estimator::hargreaves));
        if (std::isnan(hargreaves)) return text;
        const double own = shown_error(at(Region::world, 0));
        return text +
               "  Hargreaves-Samani from the same temperatures: " + formatted("%.3f", hargreaves) +
               "; fused as a share of it: " + formatted("%.3f", quotient(own, hargreaves)) + "\n";
    }

    [[nodiscard]] std::string errors_by_distance() const {
        std::string text = std::string(title_of(variable_)) + "\n";
        const auto line = [this](const char* name, const auto& cell) {
            std::string row = "  " + padded(name, kRegionWidth);
            for (const DistanceClass distance : kDistances)
                row += cell(at(Region::world, 0, Estimator::fused, distance));
            return row + "\n";
        };
        return text +
               line("months",
                    [](const Score* s) {
                        return padded(s == nullptr ? "-" : std::to_string(s->n), kNumberWidth);
                    }) +
               line("error", [](const Score* s) { return number_column("%.3f", shown_error(s)); });
    }

    /// Share of true values within the 90% interval by region and distance, with the other measures
    /// of an interval.
    [[nodiscard]] std::string coverage() const {
        std::string text =
            std::string(title_of(variable_)) + "\n" +
            heading({"all", "0-25 km", "25-50 km", "50-100 km", "100-250 km", "250+ km",
                     "as lattice", "50%", "width", "int. score", "/backgr."});
        for (std::size_t r = 0; r < kRegions; ++r) {
            const auto region = static_cast<Region>(r);
            const Score* fused = at(region, 0);
            if (fused == nullptr) continue;
            text += "  " + padded(region_name(region), kRegionWidth);
            for (const DistanceClass distance : kDistances) {
                const Score* score = at(region, 0, Estimator::fused, distance);
                text += number_column("%.3f", score == nullptr ? kUnknown : score->coverage_90);
            }
            const Score* background = at(region, 0, Estimator::background);
            text += number_column("%.3f", fused->coverage_50) +
                    number_column("%.2f", fused->mean_width) +
                    number_column("%.2f", fused->interval_score) +
                    number_column(
                        "%.3f", background == nullptr
                                    ? kUnknown
                                    : quotient(fused->interval_score, background->interval_score)) +
                    "\n";
        }
        return text;
    }

    /// The fused estimate compared with the grids alone, by month.
    [[nodiscard]] std::string by_month() const {
        std::string text = std::string(title_of(variable_)) + "\n  ";
        for (int i = 1; i <= kMonths + 1; ++i) {
            const int month = i % (kMonths + 1);
            const double background = shown_error(at(Region::world, month, Estimator::background));
            const double fused = shown_error(at(Region::world, month));
            text += padded(formatted("%.3f", quotient(fused, background)), 7);
        }
        return text + "\n";
    }

  private:
    [[nodiscard]] const Score* at(Region region, int month, Estimator estimator = Estimator::fused,
                                  DistanceClass distance = DistanceClass::all) const {
        return score_of(scores_, variable_, region, month, distance, estimator);
    }

    const std::vector<Score>& scores_;
    ScoredVariable variable_;
};

/// The benefit of the site's elevation.
std::string elevation_text(const std::vector<ElevationScore>& scores) {
    std::string text =
        "\nEFFECT OF GIVING THE SITE ELEVATION, by height above or below the lattice\n";
    const ScoredVariable* last = nullptr;
    for (const ElevationScore& score : scores) {
        if (last == nullptr || *last != score.variable) {
            text +=
                std::string(title_of(score.variable)) + "\n" +
                heading({"months", "with", "without", "ratio", "bias with", "without", "in 90%"});
        }
        last = &score.variable;
        const double scale =
            score.variable == ScoredVariable::rain ? kPercent / score.observed_mean : 1.0;
        text += "  " + padded(rise_class_name(score.rise), kRegionWidth) +
                padded(std::to_string(score.n), kNumberWidth) +
                number_column("%.3f", scale * score.mae_with) +
                number_column("%.3f", scale * score.mae_without) +
                number_column("%.3f", quotient(score.mae_with, score.mae_without)) +
                number_column("%+.2f", scale * score.bias_with) +
                number_column("%+.2f", scale * score.bias_without) +
                number_column("%.3f", score.coverage_90) + "\n";
    }
    return text;
}

/// The worst sites of a variable, with the other estimates there.
std::string worst_sites_text(const TailScore& tail) {
    std::string text = heading({"lat", "lon", "elev. m", "rise m", "observed", "fused",
                                "background", "nearest", "at km", "neighbors", "error"});
    const bool is_rain = tail.variable == ScoredVariable::rain;
    const bool is_temperature =
        tail.variable == ScoredVariable::tmax || tail.variable == ScoredVariable::tmin;
    const char* format = is_rain ? "%.0f" : "%.2f";
    for (const WorstSite& site : tail.worst) {
        text += "  " + padded(site.name.substr(0, std::abs(kRegionWidth) - 1), kRegionWidth) +
                number_column("%.2f", site.position.lat_deg) +
                number_column("%.2f", site.position.lon_deg) +
                number_column("%.0f", site.elevation_m) + number_column("%+.0f", site.rise_m) +
                number_column(format, site.observed) + number_column(format, site.fused) +
                number_column(format, site.background) + number_column(format, site.nearest) +
                number_column("%.0f", site.nearest_km) + number_column(format, site.neighbours) +
                (is_temperature ? number_column("%.1f", site.error)
                                : number_column("%.0f%%", kPercent * site.error)) +
                "\n";
    }
    return text;
}

std::string tails_text(const Evaluation& evaluation) {
    std::string text =
        "\nTAILS: 95th and 99th percentiles of the error over site-months, and the share off by "
        "more "
        "than a factor of two\n";
    for (const TailScore& tail : evaluation.tails) {
        const bool is_relative = !std::isnan(tail.share_off_by_two);
        const double scale = is_relative ? kPercent : 1.0;
        const char* format = is_relative ? "%.1f%%" : "%.2f";
        const auto row = [&](std::string_view name, std::int64_t n, double error_95,
                             double error_99, double share) {
            return "  " + padded(name, kRegionWidth) + padded(std::to_string(n), kNumberWidth) +
                   number_column(format, scale * error_95) +
                   number_column(format, scale * error_99) +
                   number_column("%.2f%%", kPercent * share) + "\n";
        };
        text += std::string(title_of(tail.variable)) + "\n" +
                heading({"months", "95%", "99%", ">2 or <1/2"}) +
                row("all", tail.n, tail.error_95, tail.error_99, tail.share_off_by_two);
        for (std::size_t r = 0; r < kRiseClasses; ++r) {
            const TailScore::OfRise& of_rise = tail.by_rise[r];
            if (of_rise.n == 0) continue;
            text += row(rise_class_name(static_cast<RiseClass>(r)), of_rise.n, of_rise.error_95,
                        kUnknown, of_rise.share_off_by_two);
        }
    }
    text +=
        "Annual rain, adjusted to the site's elevation, off by more than a factor of four from the "
        "mean of "
        "the stations within 100 km and 500 m of its height: " +
        std::to_string(evaluation.adjusted_rain_outliers) + " of " +
        std::to_string(evaluation.adjusted_rain_compared) + " sites\n";
    text += "\nWORST SITES\n";
    for (const TailScore& tail : evaluation.tails)
        text += std::string(title_of(tail.variable)) + "\n" + worst_sites_text(tail);
    return text;
}

std::string what_was_left_out(const EvaluationOptions& options) {
    std::string text = "stations within " + formatted("%g", options.leave_out_km) + " km of it";
    if (!options.leave_out_country.empty())
        text += ", and all stations of " + options.leave_out_country;
    if (options.folds > 1)
        text += ", and the other stations of its group, one of " + std::to_string(options.folds);
    if (!options.holdout.empty()) text += "; the scored stations are those of " + options.holdout;
    return text;
}

/// Four decimals: scores are not more precise.
Json number(double value) {
    constexpr double kDecimals = 1e4;
    return std::isfinite(value) ? Json(std::round(value * kDecimals) / kDecimals) : Json(nullptr);
}

/// What binds the scores to a baseline: the recipe, its inputs, the program, what was left out.
Json scored_baseline(const Recipe& recipe, const EvaluationOptions& options,
                     const Evaluation& evaluation) {
    Json files = Json::array();
    for (const SourceFile& file : evaluation.inputs)
        files.push_back({{"name", file.name}, {"sha256", file.sha256}});
    const auto text_or_null = [](const std::string& text) {
        return text.empty() ? Json(nullptr) : Json(text);
    };
    return {{"builder_version", kProgramVersion},
            {"title", recipe.title},
            {"recipe_sha256", sha256_of(recipe.text)},
            {"input_files", std::move(files)},
            {"left_out",
             {{"within_km", number(options.leave_out_km)},
              {"folds", options.folds > 1 ? Json(options.folds) : Json(nullptr)},
              {"country", text_or_null(options.leave_out_country)},
              {"holdout_sha256", text_or_null(evaluation.holdout_sha256)}}},
            {"stations", evaluation.stations}};
}

}  // namespace

constexpr const char* kLegend =
    "fused        what a look-up answers: the grids, corrected by the stations that were not left "
    "out\n"
    "background   the grids alone\n"
    "nearest      the values of the nearest of those stations\n"
    "inv. dist.   the means of those nearby, weighted by the inverse of their distance\n"
    "/nearest     the error of fused divided by that of nearest; likewise /backgr.\n"
    "months       site-months compared; misses: without an answer\n"
    "world        all stations scored; stations count in every region that they lie in\n"
    "as lattice   the classes of distance, weighted by the lattice points in each\n"
    "rise         the station's height above the lattice's\n"
    "int. score   the interval score of Gneiting & Raftery (2007): less is better\n"
    "Tables have different numbers of months: some need an elevation, a distance or a whole "
    "year.\n";

std::string evaluation_text(const Recipe& recipe, const EvaluationOptions& options,
                            const Evaluation& evaluation) {
    std::string errors;
    std::string distances;
    std::string coverage;
    std::string months;
    for (std::size_t v = 0; v < kScoredVariables; ++v) {
        const auto variable = static_cast<ScoredVariable>(v);
        const VariableText text(evaluation, variable);
        if (!text.has_scores()) continue;
        errors += text.errors();
        distances += text.errors_by_distance();
        if (has_standard_error(variable)) coverage += text.coverage();
        months += text.by_month();
    }
    std::string text = recipe.title + "\n" + std::to_string(evaluation.stations) +
                       (evaluation.stations == 1 ? " station" : " stations") +
                       " scored; left out with each: " + what_was_left_out(options) + "\n\n" +
                       kLegend + "\nMEAN ABSOLUTE ERROR over the year, where a look-up answers\n" +
                       errors + "\nFUSED, BY DISTANCE to the nearest station not left out\n" +
                       heading({"all", "0-25 km", "25-50 km", "50-100 km", "100-250 km", "250+ km",
                                "as lattice"}) +
                       distances + "\nCOVERAGE OF THE 90% INTERVAL, by distance\n" + coverage +
                       elevation_text(evaluation.elevation_scores) + tails_text(evaluation);
    if (!options.leave_out_country.empty())
        text += "\nFUSED OVER BACKGROUND, month by month, then the year\n" + months;
    return text;
}

std::string evaluation_json(const Recipe& recipe, const EvaluationOptions& options,
                            const Evaluation& evaluation) {
    std::string text = scored_baseline(recipe, options, evaluation)
                           .dump(-1, ' ', false, Json::error_handler_t::replace);
    text.pop_back();
    // One row per line: there are thousands.
    text += ",\n\"scores\": [";
    const char* separator = "\n";
    for (const Score& score : evaluation.scores) {
        const Json row{{"variable", scored_variable_name(score.variable)},
                       {"unit", scored_variable_unit(score.variable)},
                       {"region", region_name(score.region)},
                       {"month", score.month},
                       {"distance_class", distance_class_name(score.distance)},
                       {"estimator", estimator_name(score.estimator)},
                       {"n", score.n},
                       {"misses", score.misses},
                       {"mae", number(score.mae)},
                       {"bias", number(score.bias)},
                       {"observed_mean", number(score.observed_mean)},
                       {"coverage_50", number(score.coverage_50)},
                       {"coverage_90", number(score.coverage_90)},
                       {"interval_score", number(score.interval_score)},
                       {"mean_width", number(score.mean_width)}};
        text += separator + row.dump();
        separator = ",\n";
    }
    text += "\n], \"elevation_scores\": [";
    separator = "\n";
    for (const ElevationScore& score : evaluation.elevation_scores) {
        const Json row{{"variable", scored_variable_name(score.variable)},
                       {"unit", scored_variable_unit(score.variable)},
                       {"station", rise_class_name(score.rise)},
                       {"n", score.n},
                       {"observed_mean", number(score.observed_mean)},
                       {"mae_with_elevation", number(score.mae_with)},
                       {"mae_without_elevation", number(score.mae_without)},
                       {"bias_with_elevation", number(score.bias_with)},
                       {"bias_without_elevation", number(score.bias_without)},
                       {"coverage_90", number(score.coverage_90)}};
        text += separator + row.dump();
        separator = ",\n";
    }
    text += "\n], \"tails\": [";
    separator = "\n";
    for (const TailScore& tail : evaluation.tails) {
        Json row{{"variable", scored_variable_name(tail.variable)},
                 {"n", tail.n},
                 {"error_95", number(tail.error_95)},
                 {"error_99", number(tail.error_99)},
                 {"share_off_by_two", number(tail.share_off_by_two)},
                 {"worst_sites", Json::array()}};
        for (const WorstSite& site : tail.worst) {
            row["worst_sites"].push_back({{"name", site.name},
                                          {"country", site.country},
                                          {"lat", number(site.position.lat_deg)},
                                          {"lon", number(site.position.lon_deg)},
                                          {"elevation_m", number(site.elevation_m)},
                                          {"rise_m", number(site.rise_m)},
                                          {"observed", number(site.observed)},
                                          {"fused", number(site.fused)},
                                          {"background", number(site.background)},
                                          {"nearest", number(site.nearest)},
                                          {"nearest_km", number(site.nearest_km)},
                                          {"neighbours", number(site.neighbours)},
                                          {"error", number(site.error)}});
        }
        text += separator + row.dump();
        separator = ",\n";
    }
    text += "\n], \"carried_rain_judged\": " + std::to_string(evaluation.adjusted_rain_compared) +
            ", \"carried_rain_beyond\": " + std::to_string(evaluation.adjusted_rain_outliers);
    return text + " }\n";
}

}  // namespace thirstline
