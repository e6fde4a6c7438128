// What a plan says in sentences, for every form that people read.
#pragma once

#include <string>
#include <vector>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/site_text.hpp"

namespace thirstline {

/// One for each zone and rule that collide: the worst month in full, the other months by name.
[[nodiscard]] std::vector<std::string> conflict_sentences(const DemandReport& report);

/// "Mon, Wed, Fri: 24 min a day, in 3 cycles of 8 min with at least 60 min of soaking between"
[[nodiscard]] std::string base_run_sentence(const DemandReport& report, const ZonePlan& zone);

/// Why a zone has no base run.
[[nodiscard]] std::string no_runs_text(const ZonePlan& zone);

/// How to use the percentages, and in which months days must be cut first.
[[nodiscard]] std::vector<std::string> curve_sentences(const DemandReport& report);

/// A new planting's own runs, a sentence a zone that has such.
[[nodiscard]] std::vector<std::string> new_planting_sentences(const DemandReport& report,
                                                              const TextStyle& style);

/// "July: net 150.1 ± 9.0 mm, cautiously 157.7 (105 %)"; empty without any need.
[[nodiscard]] std::string peak_need_text(const ZonePlan& zone, const TextStyle& style);

/// What ± and the cautious estimate mean, or that nothing is known of them.
[[nodiscard]] std::string uncertainty_sentence(const DemandReport& report);

/// "Rain shut-off: set the sensor to 6.0 mm, …"
[[nodiscard]] std::string rain_shutoff_sentence(const DemandReport& report, const TextStyle& style);

/// An amount of the year: water, and its cost if there is a price.
struct YearFigure {
    std::string what;  ///< "This plan"
    std::string water;
    std::string cost;  ///< empty without a price
};

/// This plan; the peak's runs left on all season and all year; the saving against the season's.
[[nodiscard]] std::vector<YearFigure> year_figures(const DemandReport& report,
                                                   const TextStyle& style);

/// What the figures of the year leave out, such as fixed charges.
[[nodiscard]] std::vector<std::string> year_notes(const DemandReport& report);

/// "Local rules as given: Mon, Wed, Fri only and a window of 8 h."; empty without rules.
[[nodiscard]] std::string rules_sentence(const DemandReport& report, const TextStyle& style);

}  // namespace thirstline
