#include "builder/publish/report_evaluation.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "builder/evaluation/regions.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

using Json = nlohmann::json;

std::optional<double> number_of(const Json& row, const char* key) {
    const auto found = row.find(key);
    if (found == row.end() || !found->is_number()) return std::nullopt;
    return found->get<double>();
}

std::string text_of(const Json& row, const char* key) {
    const auto found = row.find(key);
    return found != row.end() && found->is_string() ? found->get<std::string>() : std::string();
}

/// Whether the row is for all regions and months.
bool is_of_everything(const Json& row) {
    return row.is_object() && text_of(row, "region") == "world" && number_of(row, "month") == 0.0;
}

constexpr const char* kAllDistances = "all";

EvaluatedVariable& variable_of(std::vector<EvaluatedVariable>& variables, const Json& row) {
    const std::string name = text_of(row, "variable");
    const auto known = std::ranges::find(variables, name, &EvaluatedVariable::variable);
    if (known != variables.end()) return *known;
    variables.push_back({name, text_of(row, "unit"), 0, {}, {}, {}, {}, {}, {}, {}});
    return variables.back();
}

struct TitledVariable {
    const char* name;
    const char* title;
};
constexpr std::array<TitledVariable, 10> kTitles{{
    {"tmax", "mean daily maximum temperature"},
    {"tmin", "mean daily minimum temperature"},
    {"rain", "rain"},
    {"eto", "reference ET, everything estimated"},
    {"eto_own_temperature", "reference ET, temperatures the station's own"},
    {"eto_temperature_only", "reference ET from temperature alone"},
    {"share_of_peak",
     "a month's reference ET as a percentage of the peak month's, in percentage points"},
    {"share_of_peak_temperature_only", "the same, from temperature alone"},
    {"eto_in_peak_month", "reference ET in the peak month"},
    {"eto_temperature_only_in_peak_month",
     "reference ET in the peak month, from temperature alone"},
}};

std::string or_dash(const std::optional<double>& value, int decimals, bool is_signed = false) {
    if (!value) return "–";
    return (is_signed && *value > 0.0 ? "+" : "") + fixed_text(*value, decimals);
}

std::string row_html(const EvaluatedVariable& variable) {
    const std::string unit = variable.unit == "degC" ? "°C" : variable.unit;
    const std::string coverage =
        variable.coverage_90 ? fixed_text(100.0 * *variable.coverage_90, 0) + "%" : "–";
    std::string row = "<tr>" + element("th", evaluated_variable_title(variable.variable) +
                                                 (unit == "points" ? "" : ", " + unit));
    for (const std::string& cell :
         {counted_text(variable.values), or_dash(variable.observed_mean, 2),
          or_dash(variable.mean_absolute_error, 2), or_dash(variable.bias, 2, true),
          or_dash(variable.error_of_grids, 2), or_dash(variable.error_of_nearest, 2), coverage})
        row += element("td", cell, "number");
    return row + "</tr>\n";
}

/// Coverage of the 90 % interval, by the distance of the nearest station that was used.
std::string coverage_by_distance_html(const std::vector<EvaluatedVariable>& variables) {
    // Rows may come without some classes; columns are in order of distance all the same.
    std::vector<std::string> distances;
    for (std::size_t number = 0; number < kDistanceClasses; ++number) {
        const std::string distance(distance_class_name(static_cast<DistanceClass>(number)));
        const bool is_scored = std::ranges::any_of(variables, [&](const auto& variable) {
            return std::ranges::find(variable.coverage_by_distance, distance,
                                     &std::pair<std::string, double>::first) !=
                   variable.coverage_by_distance.end();
        });
        if (is_scored) distances.push_back(distance);
    }
    if (distances.empty()) return {};
    std::string html =
        "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Coverage\">\n"
        "<table class=\"scores\"><caption>Coverage of the 90% interval by distance to "
        "the nearest station that was not left out</caption><thead><tr>" +
        element("th", "Variable");
    for (const std::string& distance : distances) {
        const bool is_mean = distance == distance_class_name(DistanceClass::as_lattice);
        html += element("th", is_mean ? "weighted by grid points" : distance);
    }
    html += "</tr></thead><tbody>\n";
    for (const EvaluatedVariable& variable : variables) {
        if (variable.coverage_by_distance.empty()) continue;
        html += "<tr>" + element("th", evaluated_variable_title(variable.variable));
        for (const std::string& distance : distances) {
            const auto found = std::ranges::find(variable.coverage_by_distance, distance,
                                                 &std::pair<std::string, double>::first);
            html += element("td",
                            found == variable.coverage_by_distance.end()
                                ? "–"
                                : fixed_text(100.0 * found->second, 0) + "%",
                            "number");
        }
        html += "</tr>\n";
    }
    return html + "</tbody></table></div>\n";
}

ReportEvaluation scored_baseline(const Json& json) {
    ReportEvaluation evaluation;
    evaluation.title = text_of(json, "title");
    evaluation.recipe_sha256 = text_of(json, "recipe_sha256");
    evaluation.builder_version = text_of(json, "builder_version");
    evaluation.stations = static_cast<std::int64_t>(number_of(json, "stations").value_or(0.0));
    if (json.contains("input_files") && json["input_files"].is_array()) {
        for (const Json& file : json["input_files"]) {
            if (file.is_object())
                evaluation.inputs.push_back({text_of(file, "name"), text_of(file, "sha256")});
        }
    }
    if (!json.contains("left_out") || !json["left_out"].is_object()) return evaluation;
    const Json& left_out = json["left_out"];
    evaluation.within_km = number_of(left_out, "within_km").value_or(0.0);
    evaluation.folds = static_cast<int>(number_of(left_out, "folds").value_or(0.0));
    evaluation.country = text_of(left_out, "country");
    evaluation.is_holdout = !text_of(left_out, "holdout_sha256").empty();
    return evaluation;
}

/// "12 stations were scored, in 3 folds; …"
std::string scored_words(const ReportEvaluation& evaluation) {
    std::string words = counted_text(evaluation.stations) +
                        (evaluation.stations == 1 ? " station was" : " stations were") + " scored";
    if (evaluation.is_holdout) words += ", of a table that the build did not use";
    if (evaluation.folds > 1)
        words += ", in " + std::to_string(evaluation.folds) +
                 " folds: each fold was left out as a whole";
    if (!evaluation.country.empty())
        words += ", with all stations of " + evaluation.country + " left out together";
    return words + "; with each, the stations within " + fixed_text(evaluation.within_km, 0) +
           " km of it were left out.";
}

}  // namespace

Result<ReportEvaluation> read_evaluation(const std::string& path) {
    const auto text = TRY(small_file_text(path));
    const auto foreign = [&path] {
        return fail(ErrorCode::bad_input, path + " is not the output of evaluate --format json",
                    "thirstline-builder evaluate RECIPE --format json > FILE makes it");
    };
    const Json json = Json::parse(text, nullptr, false);
    if (!json.is_object() || !json.contains("scores") || !json["scores"].is_array())
        return foreign();
    ReportEvaluation evaluation = scored_baseline(json);
    std::vector<EvaluatedVariable>& variables = evaluation.variables;
    for (const Json& row : json["scores"]) {
        if (!is_of_everything(row)) continue;
        const std::string estimator = text_of(row, "estimator");
        const std::string distance = text_of(row, "distance_class");
        if (distance != kAllDistances) {
            const auto coverage = number_of(row, "coverage_90");
            if (estimator == "fused" && coverage)
                variable_of(variables, row).coverage_by_distance.emplace_back(distance, *coverage);
        } else if (estimator == "fused") {
            EvaluatedVariable& variable = variable_of(variables, row);
            variable.values = static_cast<std::int64_t>(number_of(row, "n").value_or(0.0));
            variable.observed_mean = number_of(row, "observed_mean");
            variable.mean_absolute_error = number_of(row, "mae");
            variable.bias = number_of(row, "bias");
            variable.coverage_90 = number_of(row, "coverage_90");
        } else if (estimator == "background") {
            variable_of(variables, row).error_of_grids = number_of(row, "mae");
        } else if (estimator == "nearest") {
            variable_of(variables, row).error_of_nearest = number_of(row, "mae");
        }
    }
    if (variables.empty()) return foreign();
    return evaluation;
}

std::string evaluated_variable_title(const std::string& variable) {
    const auto known = std::ranges::find(kTitles, variable, &TitledVariable::name);
    return known == kTitles.end() ? variable : known->title;
}

std::string evaluation_html(const ReportEvaluation& evaluation) {
    const std::vector<EvaluatedVariable>& variables = evaluation.variables;
    std::string html =
        element("p", scored_words(evaluation)) +
        element(
            "p",
            "Cross-validation: stations are left out, with those near them, and estimated from the "
            "rest "
            "as any other place is. The error is the mean absolute error; the bias is positive "
            "where "
            "the estimate is too high. For comparison: the error of the grids alone and of the "
            "nearest "
            "station's value. The last column is the share of observed values within the 90% "
            "interval "
            "of the estimate; it should be 90%.");
    html +=
        "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"Cross-validation\">\n"
        "<table class=\"scores\"><thead><tr>";
    for (const char* heading : {"Variable", "Months", "Mean", "Error", "Bias", "Grids alone",
                                "Nearest", "Coverage of 90% interval"})
        html += element("th", heading);
    html += "</tr></thead><tbody>\n";
    for (const EvaluatedVariable& variable : variables) html += row_html(variable);
    return html + "</tbody></table></div>\n" + coverage_by_distance_html(variables);
}

}  // namespace thirstline
