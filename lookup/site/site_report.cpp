#include "lookup/site/site_report.hpp"

#include <algorithm>
#include <utility>

#include "schema/database/missing_rows.hpp"

namespace thirstline {
namespace {

Phrase months_given(const Monthly<std::optional<double>>& values) {
    return months_phrase([&values](std::size_t month) { return values[month].has_value(); });
}

}  // namespace

Result<Baseline> read_baseline(Database& database) {
    auto sources = TRY(database.sources());
    Baseline baseline;
    baseline.title = database.metadata("title");
    baseline.edition = edition_of(database);
    baseline.region = database.metadata("region");
    baseline.publisher = database.metadata("publisher");
    baseline.kinds =
        periods_by_kind(sources, database.metadata("period"), database.metadata("station_sources"));
    baseline.period = period_text_of(baseline.kinds, database.metadata("period"));
    if (!differ_by_kind(baseline.kinds)) baseline.kinds.clear();
    baseline.reference = database.metadata("reference");
    baseline.site_correction = database.metadata("site_correction");
    baseline.notice = shown_notice(database);
    baseline.sources = std::move(sources);
    baseline.lattices = database.lattices();
    return baseline;
}

const Lattice* answering_lattice(const Baseline& baseline, const AnsweringPoint& point) {
    if (baseline.lattices.size() < 2) return nullptr;
    const auto found = std::ranges::find(baseline.lattices, point.lattice_id, &Lattice::id);
    return found == baseline.lattices.end() ? nullptr : &*found;
}

Phrase own_values(const OwnRecord& own) {
    std::vector<Phrase> out;
    if (Phrase eto = months_given(own.eto_mm); !eto.empty())
        out.push_back({"site.own_eto"_text, {{"months", std::move(eto)}}});
    if (Phrase rain = months_given(own.rain_mm); !rain.empty())
        out.push_back({"site.own_rain"_text, {{"months", std::move(rain)}}});
    return Phrase::joined(std::move(out), "; ");
}

}  // namespace thirstline
