#include "builder/commands/evaluate_command.hpp"

#include <CLI/App.hpp>
#include <algorithm>
#include <cstdio>
#include <thread>

#include "builder/evaluation/evaluation.hpp"
#include "builder/evaluation/evaluation_report.hpp"
#include "builder/grids/grid.hpp"
#include "builder/progress/interruption.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/worker_pool.hpp"

namespace thirstline {

namespace {

constexpr int kMaxFolds = 1000;
constexpr double kMaxKm = 5000.0;

}  // namespace

void EvaluateCommand::declare(CLI::App& app) {
    app.add_option("recipe", recipe_, "the recipe, in TOML")->type_name("RECIPE")->required();
    app.add_option("--folds", folds_,
                   "leave stations out together in so many groups; default: one at a time")
        ->type_name("N")
        ->check(CLI::Range(2, kMaxFolds))
        ->group("Left out");
    app.add_option("--leave-out-km", leave_out_km_,
                   "leave out with a station all within this distance; default: 15")
        ->type_name("KM")
        ->check(CLI::Range(0.0, kMaxKm))
        ->group("Left out");
    app.add_option("--leave-out-country", leave_out_country_,
                   "score the stations of a country, all left out together")
        ->type_name("NAME")
        ->group("Left out");
    app.add_option("--holdout", holdout_,
                   "score the stations of a table instead, with columns lat, lon, month and any of "
                   "name, country, elevation_m, tmax_c, tmin_c, rain_mm, dew_point_c, "
                   "vapour_pressure_kpa, wind_2m_m_s, radiation_mj_m2_day, sunshine_h_day")
        ->type_name("FILE.csv")
        ->group("Left out");
    app.add_option("--format", format_, "text or json; default: text")
        ->type_name("FORM")
        ->group("Answer");
    app.add_option("--jobs", jobs_, "threads that compute; default: one a core")
        ->type_name("N")
        ->check(CLI::Range(1, kMaxJobs))
        ->group("Work");
    app.add_option("--progress", progress_, "auto, always, never or json; default: auto")
        ->type_name("HOW")
        ->group("Work");
    app.footer(help_footer({"thirstline-builder evaluate merrow.toml --folds 10",
                            "thirstline-builder evaluate merrow.toml --leave-out-country Merrow",
                            "thirstline-builder evaluate merrow.toml --holdout own.csv "
                            "--format json"}));
}

Result<Outcome> EvaluateCommand::run(const Environment& /*environment*/, TextSink& out) {
    TRY(check_word("--format", format_, {"text", "json"}));
    TRY(check_word("--progress", progress_, {"auto", "always", "never", "json"}));
    const int ways = static_cast<int>(folds_ > 0) + static_cast<int>(!holdout_.empty()) +
                     static_cast<int>(!leave_out_country_.empty());
    if (ways > 1) {
        return fail(ErrorCode::usage,
                    "--folds, --holdout and --leave-out-country are three ways to choose what is "
                    "left out; give one of them");
    }
    const auto recipe = TRY(read_recipe(recipe_));
    set_up_gdal();
    EvaluationOptions options;
    options.folds = folds_;
    options.leave_out_km = leave_out_km_;
    options.leave_out_country = leave_out_country_;
    options.holdout = holdout_;
    options.jobs = jobs_ > 0 ? jobs_ : all_cores();
    options.interrupted = &watch_for_interruption();
    const auto evaluation = TRY([&] {
        Progress progress(progress_style(progress_));
        return run_evaluation(recipe, options, progress);
    }());
    for (const std::string& warning : evaluation.warnings)
        std::fprintf(stderr, "thirstline-builder: note: %s\n", warning.c_str());
    const std::string text = format_ == "json" ? evaluation_json(evaluation)
                                               : evaluation_text(recipe, options, evaluation);
    TRY(out.write(text));
    return Outcome::done;
}

}  // namespace thirstline
