#include "lookup/site/site_report.hpp"

#include <utility>

namespace thirstline {
namespace {

std::string months_given(const Monthly<std::optional<double>>& values) {
    std::string out;
    for (std::size_t m = 0; m < kMonths; ++m) {
        if (values[m]) out += (out.empty() ? "" : ", ") + std::string(kMonthAbbreviations[m]);
    }
    return out;
}

}  // namespace

Result<Baseline> read_baseline(Database& database) {
    auto sources = database.sources();
    if (!sources) return fail(std::move(sources.error()));
    Baseline baseline;
    baseline.title = database.metadata("title");
    baseline.region = database.metadata("region");
    baseline.publisher = database.metadata("publisher");
    baseline.period = database.metadata("period");
    baseline.reference = database.metadata("reference");
    baseline.site_correction = database.metadata("site_correction");
    baseline.notice = database.metadata("notice");
    baseline.sources = std::move(*sources);
    return baseline;
}

std::string own_values_text(const OwnRecord& own) {
    const std::string eto = months_given(own.eto_mm);
    const std::string rain = months_given(own.rain_mm);
    std::string out;
    if (!eto.empty()) out += "ETo " + eto;
    if (!eto.empty() && !rain.empty()) out += "; ";
    if (!rain.empty()) out += "rain " + rain;
    return out;
}

}  // namespace thirstline
