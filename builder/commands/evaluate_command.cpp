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
#include "schema/command_line/option_values.hpp"

namespace thirstline {

namespace {

constexpr int kMaxFolds = 1000;
constexpr int kMaxKm = 5000;

}  // namespace

void EvaluateCommand::declare(CLI::App& app) {
    declare_recipe_options(app, recipe_);
    require_number(*app.add_option("--folds", folds_,
                                   "number of cross-validation folds; default: leave-one-out")
                        ->type_name("N")
                        ->group("Cross-validation"),
                   2, kMaxFolds);
    require_number(*app.add_option("--leave-out-km", leave_out_km_,
                                   "also leave out all stations within this distance; default: 15")
                        ->type_name("KM")
                        ->group("Cross-validation"),
                   0, kMaxKm);
    app.add_option("--leave-out-country", leave_out_country_,
                   "score the stations of a country, leaving all of them out at once")
        ->type_name("NAME")
        ->group("Cross-validation");
    app.add_option("--holdout", holdout_,
                   "score the stations of a table instead, with columns lat, lon, month and any of "
                   "name, country, elevation_m, tmax_c, tmin_c, rain_mm, dew_point_c, "
                   "vapour_pressure_kpa, wind_2m_m_s, radiation_mj_m2_day, sunshine_h_day")
        ->type_name("FILE.csv")
        ->group("Cross-validation");
    add_word_option(
        app, format_,
        {"--format", "output format: ", {"text", "json"}, "; default: text", "FORMAT", "Output"});
    require_number(*app.add_option("--jobs", jobs_, "number of threads; default: all cores")
                        ->type_name("N")
                        ->group("Work"),
                   1, kMaxJobs);
    add_word_option(app, progress_,
                    {"--progress",
                     "progress on the terminal: ",
                     {"auto", "always", "never", "json"},
                     "; default: auto",
                     "HOW",
                     "Work"});
    app.footer(help_footer({"thirstline-builder evaluate merrow.toml --folds 10",
                            "thirstline-builder evaluate merrow.toml --leave-out-country XM",
                            "thirstline-builder evaluate merrow.toml --holdout own.csv "
                            "--format json"}));
}

Result<Outcome> EvaluateCommand::run(const Environment& /*environment*/, TextSink& out) {
    const int ways = static_cast<int>(folds_ > 0) + static_cast<int>(!holdout_.empty()) +
                     static_cast<int>(!leave_out_country_.empty());
    if (ways > 1) {
        return fail(ErrorCode::usage, "use only one of --folds, --holdout and --leave-out-country");
    }
    set_up_gdal();
    const auto recipe = TRY([&] {
        Progress progress(progress_style(progress_));
        return recipe_to_build(recipe_, progress);
    }());
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
    const std::string text = format_ == "json" ? evaluation_json(recipe, options, evaluation)
                                               : evaluation_text(recipe, options, evaluation);
    TRY(out.write(text));
    return Outcome::done;
}

}  // namespace thirstline
