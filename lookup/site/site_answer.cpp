#include "lookup/site/site_answer.hpp"

#include <utility>

namespace thirstline {

Result<SiteAnswer> site_answer(Database& database, const SiteRequest& request,
                               std::optional<OwnRecord> own, StepLength step) {
    auto finding = find_site(database, request);
    if (!finding) return fail(std::move(finding.error()));
    SiteAnswer out;
    out.report.query = std::move(finding->query);
    out.miss = std::move(finding->miss);
    if (out.miss) return out;

    const LatLonE7 position = *out.report.query.position;
    const auto answer = database.answer(position, request.elevation_m);
    if (!answer) return fail(answer.error());
    if (!answer->found) {
        out.miss = no_data_near(position, answer->reach_m);
        return out;
    }
    out.report.profile = site_profile(*answer, database.layout());
    if (own) apply_own_record(out.report.profile, *own);
    out.report.own = std::move(own);
    out.report.steps = site_steps(out.report.profile, step);
    auto period = database.period(answer->period);
    if (!period) return fail(std::move(period.error()));
    out.report.period = std::move(*period);
    auto baseline = read_baseline(database);
    if (!baseline) return fail(std::move(baseline.error()));
    out.report.baseline = std::move(*baseline);
    return out;
}

}  // namespace thirstline
