#include "lookup/site/site_answer.hpp"

#include <utility>

#include "lookup/site/site_hints.hpp"
#include "lookup/site/wet_and_dry_years.hpp"

namespace thirstline {

Result<SiteAnswer> site_answer(Database& database, const SiteRequest& request,
                               std::optional<OwnRecord> own, StepLength step,
                               std::optional<double> year_percent) {
    auto finding = TRY(find_site(database, request));
    SiteAnswer out;
    out.report.query = std::move(finding.query);
    out.miss = std::move(finding.miss);
    if (out.miss) {
        if (out.miss->hint.empty())
            out.miss->hint = TRY(unknown_postal_hint(database, out.report.query, request.postal));
        return out;
    }

    const LatLonE7 position = *out.report.query.position;
    const auto answer = TRY(database.answer(position, request.elevation_m));
    if (!answer.found) {
        out.miss = no_data_near(position, answer.reach_m);
        out.miss->hint = TRY(wrong_sign_hint(database, position));
        return out;
    }
    out.report.profile = site_profile(answer, database.layout());
    if (own) {
        for (std::string& warning : TRY(check_own_record(out.report.profile, *own)))
            out.warnings.push_back(std::move(warning));
        apply_own_record(out.report.profile, *own);
    }
    SiteProfile normals = out.report.profile;
    TRY(describe_year(out.report.profile, year_percent));
    if (out.report.profile.year) {
        out.report.years = MeanAndDry{normals, normals};
        TRY(describe_year(out.report.years->dry, kDryPercent));
    }
    out.report.own = std::move(own);
    out.report.steps = site_steps(out.report.profile, step);
    out.report.season = season_estimate(out.report.profile);
    out.report.period = TRY(database.period(answer.period));
    out.report.baseline = TRY(read_baseline(database));
    return out;
}

}  // namespace thirstline
