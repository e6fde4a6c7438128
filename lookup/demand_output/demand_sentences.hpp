// What a plan says in sentences, for every form that people read.
//
// Thread safety: pure functions.
#pragma once

#include <string>
#include <vector>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_text.hpp"

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

/// "Set the rain shut-off to 6 mm."
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

/// The rules that the plan keeps: "Watering days: Mon, Wed, Fri."; empty without rules.
[[nodiscard]] std::string rules_sentence(const DemandReport& report, const TextStyle& style);

/// Something taken for granted, from one source, with all zones for which it was.
struct SharedAssumption {
    struct Value {
        std::string value;               ///< "5.1 mm/h (0.20 in/h)"
        std::vector<std::string> zones;  ///< empty: the site as a whole
    };
    std::string what;
    std::vector<Value> values;  ///< each once
    std::string source;
    Standing standing = Standing::memory;
};

/// The site's first, then the zones', in order of their first mention.
[[nodiscard]] std::vector<SharedAssumption> shared_assumptions(const DemandPlan& plan);

/// "5.1 mm/h (0.20 in/h) for north lawn; 10.2 mm/h (0.40 in/h) for back lawn"; of a plan with
/// `zones` zones, all of which need not be named.
[[nodiscard]] std::string values_text(const SharedAssumption& assumption, std::size_t zones);

/// "Soil intake: 5.1 mm/h (0.20 in/h). Test protocol of … (memory)."
[[nodiscard]] std::string assumption_sentence(const SharedAssumption& assumption,
                                              std::size_t zones);

/// The same by source, where room is dear: what comes from one publication stands together, and so
/// do the project's own choices, whose reasons the text and the JSON tell.
[[nodiscard]] std::vector<std::string> assumptions_by_source(const DemandPlan& plan);

/// With a capital letter at its start.
[[nodiscard]] std::string capitalised(std::string text);

}  // namespace thirstline
