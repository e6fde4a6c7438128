#include "builder/join/join_plan.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <tuple>

#include "builder/join/joined_history.hpp"
#include "schema/base/version.hpp"

namespace thirstline {

namespace {

constexpr int kMaxPeriods = 255;
constexpr int kMaxLattices = 4095;

const std::string& metadata_of(const JoinedBaseline& baseline, std::string_view key) {
    static const std::string kNone;
    const auto found = baseline.metadata.find(key);
    return found == baseline.metadata.end() ? kNone : found->second;
}

/// The same for the definition of the numbers: files before format 1.2 do not state the soil heat
/// flux, and use the monthly one.
std::string meaning_of(const JoinedBaseline& baseline, std::string_view key) {
    const std::string& value = metadata_of(baseline, key);
    return value.empty() && key == "soil_heat_flux" ? "monthly" : value;
}

/// The baseline's name in messages.
const std::string& first_file(const JoinedBaseline& baseline) {
    return baseline.inputs.front()->path();
}

std::int32_t coarsest_arcsec(const JoinedBaseline& baseline) {
    return std::ranges::max(baseline.lattices(), {}, &Lattice::spacing_arcsec).spacing_arcsec;
}

/// Lattices of a file, from the lowest to the highest rank.
std::vector<const Lattice*> from_below(const JoinedBaseline& baseline) {
    std::vector<const Lattice*> lattices;
    for (const Lattice& lattice : baseline.lattices()) lattices.push_back(&lattice);
    std::ranges::sort(lattices, [](const Lattice* a, const Lattice* b) {
        return std::tuple(a->rank, -a->id) < std::tuple(b->rank, -b->id);
    });
    return lattices;
}

class Overlay {
  public:
    Overlay(const std::vector<JoinedBaseline>& baselines, const OverlayTexts& texts)
        : texts_(texts) {
        for (const JoinedBaseline& baseline : baselines) baselines_.push_back(&baseline);
        std::ranges::stable_sort(baselines_, [](const JoinedBaseline* a, const JoinedBaseline* b) {
            return coarsest_arcsec(*a) > coarsest_arcsec(*b);
        });
    }

    Result<JoinPlan> plan() {
        using Step = Result<void> (Overlay::*)();
        for (const Step step :
             {&Overlay::check_tile_edges, &Overlay::check_agreement, &Overlay::lay_lattices,
              &Overlay::unite_layers, &Overlay::unite_periods}) {
            TRY((this->*step)());
        }
        unite_methods();
        unite_sources_and_stations();
        unite_metadata();
        plan_.history = joined_history(baselines_);
        plan_.history.back().note = texts_.note;
        const auto title = texts_.metadata.find("title");
        if (title != texts_.metadata.end()) plan_.history.back().title = title->second;
        return std::move(plan_);
    }

  private:
    /// Checked first: parts of one build with different codes look like parts of two baselines.
    Result<void> check_tile_edges() {
        const JoinedBaseline& base = *baselines_.front();
        const auto edge = [](const JoinedBaseline& baseline) {
            return std::to_string(baseline.layout().edge);
        };
        for (const JoinedBaseline* baseline : baselines_) {
            if (edge(*baseline) == edge(base)) continue;
            return fail(ErrorCode::bad_input,
                        "the tiles of " + first_file(base) + " are " + edge(base) +
                            " points wide and those of " + first_file(*baseline) + " " +
                            edge(*baseline) + ", and a file holds one width",
                        "build both with the same code under [output]");
        }
        return {};
    }

    /// A part whose lattice differs from another's only in what the recipe says beside the box and
    /// the spacing is not an overlay.
    Result<void> check_parts_of_one_build(const JoinedBaseline& part) const {
        const Lattice& own = part.lattices().front();
        for (const JoinedBaseline* baseline : baselines_) {
            const Lattice& other = baseline->lattices().front();
            Lattice alike = other;
            alike.reach_m = own.reach_m;
            alike.name = own.name;
            if (baseline == &part || alike != own) continue;
            const auto km = [](const Lattice& lattice) {
                const std::string text = std::to_string(lattice.reach_m / 1000);
                const int rest = lattice.reach_m % 1000;
                return rest == 0 ? text : text + "." + std::to_string(1000 + rest).substr(1);
            };
            const std::string difference =
                other.reach_m == own.reach_m
                    ? "the region or title is \"" + own.name + "\" and \"" + other.name + "\""
                    : "reach_km is " + km(own) + " and " + km(other);
            return fail(ErrorCode::bad_input,
                        first_file(part) + " and " + first_file(*baseline) +
                            " are of the same points but not of the same recipe: " + difference,
                        "build all parts with the same recipe");
        }
        return {};
    }

    Result<void> check_agreement() {
        const JoinedBaseline& base = *baselines_.front();
        for (const JoinedBaseline* baseline : baselines_) {
            for (const char* key : {"reference", "site_correction", "soil_heat_flux"}) {
                if (meaning_of(*baseline, key) == meaning_of(base, key)) continue;
                return fail(ErrorCode::bad_input,
                            first_file(base) + " is of " + key + " \"" + meaning_of(base, key) +
                                "\" and " + first_file(*baseline) + " of \"" +
                                meaning_of(*baseline, key) + "\": their values are not comparable",
                            "build both alike");
            }
            if (baseline->layout().elevation_adjustment != base.layout().elevation_adjustment) {
                return fail(ErrorCode::bad_input,
                            first_file(base) + " and " + first_file(*baseline) +
                                " adjust answers to the elevation of a site in different ways",
                            "build both with the same version of thirstline-builder");
            }
            if (baseline->tile_rows.is_part()) {
                TRY(check_parts_of_one_build(*baseline));
                return fail(ErrorCode::bad_input,
                            first_file(*baseline) +
                                " and the parts joined with it have only the tile "
                                "rows " +
                                tile_row_ranges_text(baseline->tile_rows),
                            "name its other parts too; only a whole baseline can be layered");
            }
        }
        return {};
    }

    /// In the command's order.
    std::vector<const JoinedBaseline*> as_named() const {
        std::vector<const JoinedBaseline*> named = baselines_;
        std::ranges::sort(named, {}, [](const JoinedBaseline* b) { return b->inputs.front(); });
        return named;
    }

    Result<void> lay_lattices() {
        struct Layered {
            const JoinedBaseline* baseline;
            const Lattice* lattice;
        };
        std::vector<Layered> all;
        // In the command's order, so that on a tie the later one is above.
        for (const JoinedBaseline* baseline : as_named()) {
            const auto lattices = from_below(*baseline);
            const bool is_in_order = std::ranges::is_sorted(
                lattices, [](auto* a, auto* b) { return a->spacing_arcsec > b->spacing_arcsec; });
            if (!is_in_order) {
                return fail(ErrorCode::bad_input, "in " + first_file(*baseline) +
                                                      " a coarser lattice is above a finer one, "
                                                      "so it cannot be layered with others");
            }
            for (const Lattice* lattice : lattices) all.push_back({baseline, lattice});
        }
        std::ranges::stable_sort(all, [](const Layered& a, const Layered& b) {
            return a.lattice->spacing_arcsec > b.lattice->spacing_arcsec;
        });
        if (all.size() > kMaxLattices)
            return fail(ErrorCode::bad_input, "a file holds at most 4095 lattices");
        for (const Layered& layered : all) {
            JoinedLattice joined{*layered.lattice, layered.baseline, layered.lattice->id, {}};
            joined.lattice.rank = static_cast<int>(plan_.lattices.size());
            joined.lattice.id = joined.lattice.rank + 1;
            plan_.lattices.push_back(std::move(joined));
        }
        return {};
    }

    Result<void> unite_layers() {
        plan_.layout.edge = baselines_.front()->layout().edge;
        plan_.layout.elevation_adjustment = baselines_.front()->layout().elevation_adjustment;
        for (const JoinedBaseline* baseline : baselines_) {
            for (const Layer& layer : baseline->layout().layers) {
                const Layer* known = plan_.layout.find(layer.id);
                if (known == nullptr) {
                    plan_.layout.layers.push_back(layer);
                } else if (*known != layer) {
                    return fail(ErrorCode::bad_input,
                                first_file(*baselines_.front()) + " and " + first_file(*baseline) +
                                    " keep layer " + std::string(layer.name) +
                                    " in different units",
                                "build both with the same version");
                }
            }
        }
        std::ranges::sort(plan_.layout.layers, {}, &Layer::id);
        return {};
    }

    /// Each period keeps its id if that is free; otherwise it gets the smallest free one.
    Result<void> unite_periods() {
        std::map<int, std::string> texts;
        std::map<const JoinedBaseline*, std::map<int, int>> ids;
        for (const JoinedBaseline* baseline : baselines_) {
            for (const PeriodRow& period : baseline->periods) {
                int id = period.id;
                const auto same = std::ranges::find_if(
                    texts, [&period](const auto& known) { return known.second == period.text; });
                if (same != texts.end()) {
                    id = same->first;
                } else if (texts.contains(id)) {
                    for (id = 0; texts.contains(id);) ++id;
                }
                if (id >= kMaxPeriods) {
                    return fail(ErrorCode::bad_input,
                                "the files have more than 255 different periods together");
                }
                texts.emplace(id, period.text);
                ids[baseline][period.id] = id;
            }
        }
        for (const auto& [id, text] : texts) plan_.periods.push_back({id, text});
        for (JoinedLattice& lattice : plan_.lattices) lattice.period_ids = ids[lattice.baseline];
        return {};
    }

    void unite_methods() {
        std::map<std::uint16_t, MethodRow> methods;
        for (const JoinedBaseline* baseline : baselines_)
            for (const MethodRow& method : baseline->methods) methods.emplace(method.code, method);
        for (auto& [code, method] : methods) plan_.methods.push_back(std::move(method));
    }

    void unite_sources_and_stations() {
        std::string station_sources;
        for (const JoinedBaseline* baseline : baselines_) {
            const std::string of_stations = " " + metadata_of(*baseline, "station_sources") + " ";
            for (Source source : baseline->sources) {
                const bool is_of_stations =
                    of_stations.find(" " + std::to_string(source.id) + " ") != std::string::npos;
                const bool is_known = std::ranges::any_of(plan_.sources, [&](Source known) {
                    known.id = source.id;
                    return known == source;
                });
                if (is_known) continue;
                source.id = static_cast<int>(plan_.sources.size()) + 1;
                if (is_of_stations)
                    station_sources +=
                        (station_sources.empty() ? "" : " ") + std::to_string(source.id);
                plan_.sources.push_back(std::move(source));
            }
            for (const StationRecord& station : baseline->stations) {
                if (std::ranges::find(plan_.stations, station) == plan_.stations.end())
                    plan_.stations.push_back(station);
            }
        }
        if (!station_sources.empty()) plan_.metadata["station_sources"] = station_sources;
    }

    void unite_metadata() {
        std::set<std::string> keys;
        for (const JoinedBaseline* baseline : baselines_)
            for (const auto& [key, value] : baseline->metadata) keys.insert(key);
        keys.erase("station_sources");
        for (const std::string& key : keys) plan_.metadata[key] = united_value(key);
        plan_.metadata["builder_version"] = kProgramVersion;
        for (const auto& [key, text] : texts_.metadata) plan_.metadata[key] = text;
    }

    /// All different values, in the baselines' order.
    std::string united_value(const std::string& key) const {
        const std::string between = key == "notice" ? " " : key == "other_input_files" ? "" : "; ";
        std::vector<std::string> stated;
        std::string united;
        for (const JoinedBaseline* baseline : baselines_) {
            const std::string& value = metadata_of(*baseline, key);
            if (value.empty() || std::ranges::find(stated, value) != stated.end()) continue;
            // A station's range is a number: taken from the finest baseline that has stations.
            if (key.starts_with("station_")) united.clear();
            united += (united.empty() ? "" : between) + value;
            stated.push_back(value);
        }
        return united;
    }

    const OverlayTexts& texts_;
    std::vector<const JoinedBaseline*> baselines_;  ///< the coarsest first, then in the command's
                                                    ///< order
    JoinPlan plan_;
};

/// A single baseline is not changed.
JoinPlan plan_of_one(const JoinedBaseline& baseline) {
    JoinPlan plan;
    plan.layout = baseline.layout();
    plan.metadata = baseline.metadata;
    if (baseline.tile_rows.is_part())
        plan.metadata["tile_rows"] = tile_row_ranges_text(baseline.tile_rows);
    plan.sources = baseline.sources;
    plan.stations = baseline.stations;
    plan.periods = baseline.periods;
    plan.methods = baseline.methods;
    plan.history = baseline.history;
    for (const Lattice& lattice : baseline.lattices()) {
        JoinedLattice joined{lattice, &baseline, lattice.id, {}};
        for (const PeriodRow& period : baseline.periods) joined.period_ids[period.id] = period.id;
        plan.lattices.push_back(std::move(joined));
    }
    return plan;
}

}  // namespace

Result<JoinPlan> plan_of(const std::vector<JoinedBaseline>& baselines, const OverlayTexts& texts) {
    if (baselines.size() == 1) return plan_of_one(baselines.front());
    return Overlay(baselines, texts).plan();
}

}  // namespace thirstline
