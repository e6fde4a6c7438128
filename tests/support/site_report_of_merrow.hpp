// The report of `site` about a site in the invented valley, for the tests of its formats.
#pragma once

#include "lookup/site/site_report.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline::test {

inline SiteReport merrow_report(const MerrowOptions& options = {},
                                StepLength step = StepLength::month,
                                LatLonE7 position = {472'500'000, -305'000'000},
                                std::optional<std::int32_t> elevation_m = std::nullopt) {
    const auto database = open_merrow(options);
    const Answer answer = database->answer(position, elevation_m).value();
    SiteReport report;
    report.query.position = position;
    report.query.elevation_m = elevation_m;
    report.profile = site_profile(answer, database->layout());
    report.period = database->period(answer.period).value();
    report.steps = site_steps(report.profile, step);
    report.season = season_estimate(report.profile);
    report.baseline = read_baseline(*database).value();
    return report;
}

}  // namespace thirstline::test
