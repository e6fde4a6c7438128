#include "builder/evaluation/evaluation.hpp"

#include <algorithm>
#include <cmath>
#include <future>
#include <numeric>
#include <optional>
#include <set>

#include "builder/evaluation/holdout_table.hpp"
#include "builder/evaluation/left_out_look_up.hpp"
#include "builder/fusion/fused_stations.hpp"
#include "builder/pipeline/block_tiles.hpp"
#include "builder/pipeline/gradient_squares.hpp"
#include "builder/pipeline/input_files.hpp"
#include "schema/base/nearest_name.hpp"
#include "schema/base/worker_pool.hpp"

namespace thirstline {

namespace {

// Number of stations whose tiles are read at the same time: enough to share tiles, few enough to
// limit memory.
constexpr std::size_t kStationsAtOnce = 500;
constexpr double kLatticeSample = 8000.0;

/// A fixed, well-mixed 64-bit number for an index. Steele, Lea & Flood 2014, SplitMix64.
std::uint64_t mixed(std::uint64_t index) {
    std::uint64_t x = (index + 1) * 0x9E3779B97F4A7C15U;
    x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9U;
    x = (x ^ (x >> 27)) * 0x94D049BB133111EBU;
    return x ^ (x >> 31);
}

/// The recipe, changed for scoring.
Recipe recipe_for_scores(Recipe recipe) {
    recipe.site_correction = false;
    recipe.temperature_layers = true;
    // A tile that is a whole square has its gradients available; answers do not depend on tile
    // size.
    recipe.lattice = lattice_of_gradient_squares(recipe.lattice);
    return recipe;
}

/// Names that may be meant, or the names that the stations have.
std::string countries_hint(const std::string& wanted, const std::set<std::string>& countries) {
    constexpr std::size_t kMaxNamed = 12;
    std::vector<std::string_view> names;
    for (const std::string& country : countries)
        if (!country.empty()) names.push_back(country);
    if (names.empty()) return "the stations state no country";
    const std::string near = nearest_name(wanted, names);
    if (is_near_name(wanted, near)) return "did you mean " + near + "?";
    std::string list;
    for (std::size_t i = 0; i < names.size() && i < kMaxNamed; ++i)
        list += (i == 0 ? "" : ", ") + std::string(names[i]);
    if (names.size() > kMaxNamed)
        list += " and " + std::to_string(names.size() - kMaxNamed) + " more";
    return "the stations' countries are " + list;
}

bool has_scored_value(const ScoredStation& station) {
    return std::ranges::any_of(station.observed, [](const auto& months) {
        return std::ranges::any_of(months, [](double value) { return !std::isnan(value); });
    });
}

/// Single years chosen as typical are not used as truth if there are long-term normals.
bool counts_typical_years(const Fusion& fusion) {
    return !has_enough_normals(fusion.places());
}

class EvaluationRun {
  public:
    EvaluationRun(const Recipe& recipe, const EvaluationOptions& options, Progress& progress)
        : recipe_(recipe_for_scores(recipe)),
          options_(options),
          progress_(progress),
          layout_(layout_of(recipe_)),
          pool_(options.jobs) {}

    Result<Evaluation> evaluation() {
        for (const auto& [name, step] : {std::pair{"open the sources", &EvaluationRun::open},
                                         std::pair{"fuse stations", &EvaluationRun::fuse},
                                         std::pair{"choose stations", &EvaluationRun::choose},
                                         std::pair{"score stations", &EvaluationRun::score},
                                         std::pair{"weigh by lattice", &EvaluationRun::weigh}}) {
            const bool is_counted = step == &EvaluationRun::score;
            if (!is_counted) progress_.at(name, 0, 1);
            TRY((this->*step)());
            if (is_interrupted()) return fail(ErrorCode::interrupted, "interrupted");
            if (!is_counted) progress_.at(name, 1, 1);
            clock_.ended(name);
        }
        result_.scores = scores_of(scored_, lattice_classes_);
        result_.elevation_scores = elevation_scores_of(scored_);
        result_.tails = tail_scores_of(scored_);
        const AdjustedRain adjusted = adjusted_rain_of(scored_);
        result_.adjusted_rain_compared = adjusted.judged;
        result_.adjusted_rain_outliers = static_cast<std::int64_t>(adjusted.beyond.size());
        // Others report nothing that is scored, such as only wind.
        result_.stations = std::ranges::count_if(scored_, has_scored_value);
        result_.stages = clock_.stages();
        return std::move(result_);
    }

  private:
    bool is_interrupted() const {
        return options_.interrupted != nullptr && options_.interrupted->load();
    }

    Result<void> open() {
        if (recipe_.stations.empty()) {
            return fail(ErrorCode::bad_input,
                        recipe_.path + " has no [[stations]], so there is nothing to score");
        }
        sources_ = TRY(open_source_grids(recipe_));
        result_.warnings = sources_.warnings;
        auto survey = TRY(Survey::make(recipe_, sources_));
        survey_.emplace(std::move(survey));
        return {};
    }

    Result<void> fuse() {
        auto stations = TRY(fused_stations(recipe_, sources_, *survey_));
        stations_.emplace(std::move(stations));
        no_stations_.emplace(std::vector<StationPlace>{}, drivers_of_grids(recipe_),
                             recipe_.reference, recipe_.lattice.reach_m / 1000.0,
                             NeighbourRejection{});
        result_.inputs = TRY(hashed_inputs(recipe_, sources_, stations_->set));
        result_.eto_error_factor = stations_->fusion.eto_error_factor();
        const bool counts_typical = counts_typical_years(stations_->fusion);
        for (const StationPlace& place : stations_->fusion.places())
            observations_.push_back(observation_of(place, et_options_of(recipe_), counts_typical));
        return {};
    }

    Result<void> choose() {
        if (!options_.holdout.empty()) return choose_holdout();
        if (!options_.leave_out_country.empty()) return choose_country();
        choose_all();
        return {};
    }

    void choose_all() {
        const std::vector<StationPlace>& places = stations_->fusion.places();
        const bool has_folds = options_.folds > 1;
        const std::vector<int> fold = folds_of(places.size(), has_folds ? options_.folds : 1);
        if (has_folds) {
            masks_.assign(static_cast<std::size_t>(options_.folds),
                          std::vector<bool>(places.size(), false));
            for (std::size_t p = 0; p < places.size(); ++p)
                masks_[static_cast<std::size_t>(fold[p])][p] = true;
        }
        for (std::size_t p = 0; p < places.size(); ++p) {
            add_station(places[p], station_of(p),
                        has_folds ? &masks_[static_cast<std::size_t>(fold[p])] : nullptr,
                        observations_[p]);
        }
    }

    const Station& station_of(std::size_t place) const {
        return stations_->set.stations[stations_->fusion.places()[place].station];
    }
    const std::string& country_of(std::size_t place) const { return station_of(place).country; }

    void add_station(const StationPlace& place, const Station& station,
                     const std::vector<bool>* mask, const Observation& observed) {
        left_out_.push_back({&place, station.name, station.country,
                             LeftOut{place.site.position, options_.leave_out_km, mask}, observed});
    }

    Result<void> choose_country() {
        const std::vector<StationPlace>& places = stations_->fusion.places();
        std::set<std::string> countries;
        std::vector<bool>& is_of_country = masks_.emplace_back(places.size(), false);
        for (std::size_t p = 0; p < places.size(); ++p) {
            countries.insert(country_of(p));
            is_of_country[p] = is_same_country(country_of(p), options_.leave_out_country);
        }
        for (std::size_t p = 0; p < places.size(); ++p) {
            if (is_of_country[p])
                add_station(places[p], station_of(p), &is_of_country, observations_[p]);
        }
        if (!left_out_.empty()) return {};
        return fail(ErrorCode::no_data,
                    "no station is in the country \"" + options_.leave_out_country + "\"",
                    countries_hint(options_.leave_out_country, countries));
    }

    Result<void> choose_holdout() {
        auto table = TRY(read_holdout_table(options_.holdout));
        const auto unread = TRY(unread_holdout_columns(options_.holdout));
        for (const std::string& column : unread)
            result_.warnings.push_back(options_.holdout + ": " + column);
        const auto file = TRY(hashed_file(options_.holdout, options_.holdout));
        result_.holdout_sha256 = file.sha256;
        for (const auto& [rule, count] : table.tally.not_used())
            result_.warnings.push_back(options_.holdout + ": not scored: " + rule + ": " +
                                       std::to_string(count));
        std::vector<LatLon> positions;
        for (const Station& station : table.stations) positions.push_back(station.position);
        const auto inputs = TRY(inputs_at(sources_, positions));
        holdout_ = station_places(table.stations, inputs);
        for (const StationPlace& place : holdout_) {
            add_station(place, table.stations[place.station], nullptr,
                        observation_of(place, et_options_of(recipe_), true));
        }
        return {};
    }

    /// In the order of the tiles around them, so that stations processed together share tiles.
    void sort_by_tile() {
        const auto key = [this](const LeftOutStation& station) {
            const auto keys = corner_tiles(recipe_.lattice, to_e7(station.place->site.position));
            return keys.empty() ? std::int64_t{0} : *keys.begin();
        };
        std::stable_sort(left_out_.begin(), left_out_.end(),
                         [&](const auto& a, const auto& b) { return key(a) < key(b); });
    }

    Result<void> score() {
        sort_by_tile();
        const Neighbourhood neighbourhood(observations_);
        const PointContext with_stations{recipe_, *survey_, stations_->fusion, stations_->eto};
        const PointContext without_stations{recipe_, *survey_, *no_stations_, no_eto_stations_};
        const LookUpContext context{with_stations, without_stations, layout_, neighbourhood};
        progress_.at("score stations", 0, static_cast<std::int64_t>(left_out_.size()));
        for (std::size_t first = 0; first < left_out_.size(); first += kStationsAtOnce) {
            const std::size_t end = std::min(first + kStationsAtOnce, left_out_.size());
            TRY(score_some(first, end, context));
            if (is_interrupted()) return fail(ErrorCode::interrupted, "interrupted");
        }
        return {};
    }

    /// Stations whose answer needs tiles that are not yet available are repeated with them.
    Result<void> score_some(std::size_t first, std::size_t end, const LookUpContext& context) {
        TileBackgrounds backgrounds;
        std::set<std::int64_t> wanted;
        std::vector<std::size_t> waiting(end - first);
        std::iota(waiting.begin(), waiting.end(), first);
        for (const std::size_t i : waiting)
            wanted.merge(corner_tiles(recipe_.lattice, to_e7(left_out_[i].place->site.position)));
        while (!waiting.empty()) {
            TRY(add_backgrounds(backgrounds, wanted, context));
            wanted.clear();
            std::vector<std::future<Result<LeftOutLookUp>>> asked;
            for (const std::size_t i : waiting) {
                asked.push_back(pool_.run([this, i, &backgrounds, &context] {
                    return left_out_look_up(left_out_[i], backgrounds, context);
                }));
            }
            std::vector<std::size_t> still_waiting;
            std::optional<Error> error;
            for (std::size_t k = 0; k < asked.size(); ++k) {
                auto look_up = asked[k].get();
                if (!look_up) {
                    error = look_up.error();
                } else if (!look_up->lacking.empty()) {
                    still_waiting.push_back(waiting[k]);
                    wanted.merge(look_up->lacking);
                } else {
                    scored_.push_back(std::move(look_up->scored));
                    progress_.at("score stations", static_cast<std::int64_t>(scored_.size()),
                                 static_cast<std::int64_t>(left_out_.size()));
                }
            }
            if (error) return fail(*error);
            waiting = std::move(still_waiting);
        }
        return {};
    }

    Result<void> add_backgrounds(TileBackgrounds& backgrounds, const std::set<std::int64_t>& keys,
                                 const LookUpContext& context) {
        auto tiles = TRY(tile_places(recipe_.lattice, sources_, *survey_, keys));
        std::vector<std::future<TileBackground>> computed;
        for (TilePlaces& tile : tiles) {
            computed.push_back(pool_.run([&context, this, places = std::move(tile)]() mutable {
                return tile_background(std::move(places), context.without_stations, layout_);
            }));
        }
        for (auto& background : computed) {
            TileBackground done = background.get();
            backgrounds.emplace(tile_key(recipe_.lattice.id, done.places.address), std::move(done));
        }
        return {};
    }

    /// Distances from the lattice's points with data to the stations, for a sample of the points.
    Result<void> weigh() {
        const Lattice& lattice = recipe_.lattice;
        const double points = static_cast<double>(lattice.rows) * lattice.columns;
        const int stride = std::max(1, static_cast<int>(std::sqrt(points / kLatticeSample)));
        std::vector<LatLon> positions;
        for (int row = stride / 2; row < lattice.rows; row += stride) {
            for (int column = stride / 2; column < lattice.columns; column += stride)
                positions.push_back(position_of(lattice, {row, column}));
        }
        const auto inputs = TRY(inputs_at(sources_, positions));
        const Neighbourhood neighbourhood(observations_);
        const PointContext with_stations{recipe_, *survey_, stations_->fusion, stations_->eto};
        const PointContext without_stations{recipe_, *survey_, *no_stations_, no_eto_stations_};
        for (std::size_t i = 0; i < positions.size(); ++i) {
            const LatLon at = positions[i];
            const PlaceInputs* pole = survey_->pole(at.lat_deg);
            const PlaceInputs& place = pole != nullptr ? *pole : inputs[i];
            const MonthlySun sun = monthly_sun(at.lat_deg);
            const auto has_data = [&](const PointContext& context) {
                return point_record(at, place, place.elevation_m, sun, context).is_complete();
            };
            if (has_data(without_stations) || has_data(with_stations))
                count_lattice_point(at, neighbourhood);
        }
        return {};
    }

    void count_lattice_point(LatLon at, const Neighbourhood& neighbourhood) {
        std::array<std::size_t, kMeasured> distance{};
        for (std::size_t m = 0; m < kMeasured; ++m) {
            distance[m] = static_cast<std::size_t>(
                distance_class_of(neighbourhood.nearest_km(static_cast<Measured>(m), at)));
        }
        for (std::size_t r = 0; r < kRegions; ++r) {
            if (!is_in(static_cast<Region>(r), at, "")) continue;
            for (std::size_t v = 0; v < kScoredVariables; ++v) {
                const auto measured = measured_for(static_cast<ScoredVariable>(v));
                ++lattice_classes_[r][v][distance[static_cast<std::size_t>(measured)]];
            }
        }
    }

    Recipe recipe_;
    const EvaluationOptions& options_;
    Progress& progress_;
    TileLayout layout_;
    StageClock clock_;
    SourceGrids sources_;
    std::optional<Survey> survey_;
    std::optional<FusedStations> stations_;
    std::optional<Fusion> no_stations_;
    EtoStations no_eto_stations_;
    std::vector<Observation> observations_;  ///< by number of the place in the fusion
    std::vector<StationPlace> holdout_;
    std::vector<std::vector<bool>> masks_;  ///< by fold, or of the country
    std::vector<LeftOutStation> left_out_;
    std::vector<ScoredStation> scored_;
    LatticeClasses lattice_classes_{};
    Evaluation result_;
    WorkerPool pool_;  ///< last: its threads must end before the members they use
};

}  // namespace

std::vector<int> folds_of(std::size_t stations, int folds) {
    std::vector<std::size_t> order(stations);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(),
              [](std::size_t a, std::size_t b) { return mixed(a) < mixed(b); });
    std::vector<int> fold(stations);
    for (std::size_t i = 0; i < stations; ++i)
        fold[order[i]] = static_cast<int>(i % static_cast<std::size_t>(folds));
    return fold;
}

Result<Evaluation> run_evaluation(const Recipe& recipe, const EvaluationOptions& options,
                                  Progress& progress) {
    return EvaluationRun(recipe, options, progress).evaluation();
}

}  // namespace thirstline
