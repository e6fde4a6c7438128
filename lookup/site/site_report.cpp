#include "lookup/site/site_report.hpp"

#include <utility>

#include "schema/base/words.hpp"

namespace thirstline {
namespace {

std::string months_given(const Monthly<std::optional<double>>& values) {
    return months_where([&values](std::size_t month) { return values[month].has_value(); });
}

}  // namespace

Result<Baseline> read_baseline(Database& database) {
    auto sources = TRY(database.sources());
    Baseline baseline;
    baseline.title = database.metadata("title");
    baseline.region = database.metadata("region");
    baseline.publisher = database.metadata("publisher");
    baseline.period = database.metadata("period");
    baseline.reference = database.metadata("reference");
    baseline.site_correction = database.metadata("site_correction");
    baseline.notice = database.metadata("notice");
    baseline.sources = std::move(sources);
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
