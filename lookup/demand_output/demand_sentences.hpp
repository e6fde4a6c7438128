// The sentences of a plan, for every format that people read.
#pragma once

#include <string>
#include <vector>

#include "lookup/demand_output/demand_report.hpp"
#include "lookup/site_output/site_text.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// "Customer: …", "Prepared by … (license …)": one line for each part that was given.
[[nodiscard]] std::vector<std::string> job_lines(const JobSheet& job, const TextStyle& style);

/// One for each rule that leaves zones short: the worst zone and month in full, the other zones and
/// months by name.
[[nodiscard]] std::vector<std::string> conflict_sentences(const DemandReport& report,
                                                          const TextStyle& style);

/// "Base schedule (peak month = 100%)"; if rules that change with the date give another month the
/// longest runs: "Base schedule (100%)".
[[nodiscard]] TextKey base_schedule_heading(const DemandPlan& plan);

/// "3 cycles × 8 min (24 min/day), start 03:05, 04:13 and 05:21, soak at least 60 min (cycle and
/// soak)"
[[nodiscard]] std::string base_run_sentence(const ZonePlan& zone, const TextStyle& style);

/// The reason why a zone has no base run.
[[nodiscard]] TextKey no_runs_text(const ZonePlan& zone);

/// How to use the percentages, their excess over the need, and which zones to turn off.
[[nodiscard]] std::vector<std::string> percentage_sentences(const DemandReport& report,
                                                            const TextStyle& style);

/// A new planting's establishment schedule, one sentence per zone that has one.
[[nodiscard]] std::vector<std::string> new_planting_sentences(const DemandReport& report,
                                                              const TextStyle& style);

/// "July: net 150.1 ± 9.0 mm; conservative estimate 157.7 mm (105%)"; empty if there is no need.
[[nodiscard]] std::string peak_need_text(const ZonePlan& zone, const TextStyle& style);

/// The meaning of ± and of the conservative estimate, or that no uncertainty can be given.
[[nodiscard]] std::string uncertainty_sentence(const DemandReport& report, const TextStyle& style);

/// "Rain sensor: set to 1/4 in …", "Rain sensor: set to 6 mm …"
[[nodiscard]] std::string rain_shutoff_sentence(const DemandReport& report, const TextStyle& style);

/// An amount of the year: water, and its cost if there is a price.
struct YearFigure {
    bool is_followed_by_saving = false;  ///< compared with it, which must stay beside it
    std::string what;                    ///< "By month"
    std::string water;
    std::string cost;  ///< empty without a price
};

/// The two ways to set the year on a controller, the need, and the schedules that they are compared
/// with, in order of increasing saving.
[[nodiscard]] std::vector<YearFigure> year_figures(const DemandReport& report,
                                                   const TextStyle& style);

/// "2027-05-01 to 2027-06-02: used 12,345 gal, planned 11,000 gal; 1,345 gal more than planned
/// (12%)."; empty without readings.
[[nodiscard]] std::vector<std::string> meter_sentences(const DemandReport& report,
                                                       const TextStyle& style);

/// What the figures of the year do not include, such as fixed charges.
[[nodiscard]] std::vector<std::string> year_notes(const DemandReport& report,
                                                  const TextStyle& style);

}  // namespace thirstline
