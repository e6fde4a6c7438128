#include "builder/build/block_tiles.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>

#include "schema/method.hpp"
#include "schema/tile_codec.hpp"

namespace thirstline {

namespace {

std::string short_number(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.4g", value);
    return text;
}

Suspect suspect_of(const GridRecipe& grid, LatLon position, int month, double value,
                   std::string_view rule) {
    Suspect suspect;
    suspect.source = grid.terms.name;
    suspect.file = std::filesystem::path(grid.path).filename().string();
    suspect.position = position;
    suspect.variable = variable_name(grid.variable);
    suspect.month = month + 1;
    suspect.value = short_number(value) + " " + std::string(canonical_unit(grid.variable));
    suspect.rule = rule;
    suspect.action = "not used";
    return suspect;
}

/// What was refused while the grids were read.
void tally_cells(BlockTiles& block, const BlockInputs& inputs, const SourceGrids& sources) {
    for (std::size_t g = 0; g < inputs.windows.size(); ++g) {
        const Rejections& rejections = inputs.windows[g].rejections();
        SourceTally& tally = block.tallies[g];
        for (int rule = 0; rule < kRejectionRules; ++rule) {
            const std::int64_t count = rejections.counts[static_cast<std::size_t>(rule)];
            const auto name = std::string(rule_name(static_cast<RejectionRule>(rule)));
            if (count > 0) tally.reject(name, count);
        }
        for (const RejectedCell& cell : rejections.listed) {
            tally.add_example(suspect_of(
                *sources.grids[g].recipe, sources.grids[g].grid->cell_centre(cell.row, cell.column),
                cell.month, static_cast<double>(cell.value), rule_name(cell.rule)));
        }
    }
}

/// Everything that is stored of one point.
struct PointRecord {
    Monthly<double> eto{};
    Monthly<double> rain{};
    Monthly<double> tmax{};
    Monthly<double> tmin{};
    Monthly<std::uint16_t> method{};
    std::uint8_t period = 0;
    double elevation_m = kUnknown;
    ElevationGradients gradients;
};

class BlockComputation {
  public:
    BlockComputation(const BlockInputs& inputs, const Recipe& recipe, const SourceGrids& sources,
                     const Survey& survey)
        : inputs_(inputs),
          recipe_(recipe),
          sources_(sources),
          survey_(survey),
          layout_(layout_of(recipe)),
          periods_(distinct_periods(recipe)) {
        block_.tallies.resize(sources.grids.size());
    }

    Result<BlockTiles> computed() {
        tally_cells(block_, inputs_, sources_);
        const BlockBounds& bounds = inputs_.bounds;
        for (int row = bounds.first_row; row < bounds.end_row; ++row)
            suns_.push_back(monthly_sun(position_of(recipe_.lattice, {row, 0}).lat_deg));
        const TileAddress first = tile_of(recipe_.lattice, {bounds.first_row, bounds.first_column});
        const TileAddress last =
            tile_of(recipe_.lattice, {bounds.end_row - 1, bounds.end_column - 1});
        for (int column = first.tile_column; column <= last.tile_column; ++column) {
            if (auto added = add_tile({first.tile_row, column}); !added) return fail(added.error());
        }
        return std::move(block_);
    }

  private:
    bool holds(LatticePoint point) const {
        const BlockBounds& bounds = inputs_.bounds;
        return point.row >= bounds.first_row && point.row < bounds.end_row &&
               point.column >= bounds.first_column && point.column < bounds.end_column;
    }

    Result<void> add_tile(TileAddress address) {
        Tile tile = Tile::empty(layout_);
        ElevationGradients sums{};
        for (auto* months : {&sums.eto_mm_per_day_per_km, &sums.tmax_c_per_km, &sums.tmin_c_per_km})
            months->fill(0.0);
        int gradients = 0;
        bool any = false;
        for (int slot = 0; slot < layout_.slots(); ++slot) {
            const LatticePoint point = point_in_tile(recipe_.lattice, address, slot);
            if (!holds(point)) continue;
            const auto record = record_of(point);
            if (!record) continue;
            any = true;
            store(tile, slot, *record);
            if (all_known(record->gradients.eto_mm_per_day_per_km)) {
                add_gradients(sums, record->gradients);
                ++gradients;
            }
        }
        if (!any) return {};
        if (gradients > 0) store_gradients(tile, sums, gradients);
        auto data = encode_tile(kCodecPlain, layout_, tile);
        if (!data) return fail(data.error());
        block_.tiles.push_back({tile_key(recipe_.lattice.id, address), std::move(*data)});
        return {};
    }

    static void add_gradients(ElevationGradients& sums, const ElevationGradients& gradients) {
        for (std::size_t month = 0; month < kMonths; ++month) {
            sums.eto_mm_per_day_per_km[month] += gradients.eto_mm_per_day_per_km[month];
            sums.tmax_c_per_km[month] += gradients.tmax_c_per_km[month];
            sums.tmin_c_per_km[month] += gradients.tmin_c_per_km[month];
        }
    }

    /// A point without ETo in every month is no point of the file.
    std::optional<PointRecord> record_of(LatticePoint point) {
        const int row = point.row - inputs_.bounds.first_row;
        const LatLon position = position_of(recipe_.lattice, point);
        const PlaceInputs* pole = survey_.pole(position.lat_deg);
        const PlaceInputs place =
            pole != nullptr ? *pole
                            : inputs_at(inputs_, row, point.column - inputs_.bounds.first_column);
        const MonthlySun& sun = suns_[static_cast<std::size_t>(row)];
        const LapseRates rates = default_lapse_rates(position.lat_deg);
        const AssembledPoint assembled =
            assembled_point(position, place.elevation_m, place.inland, place.grids, rates, sun);
        tally_combinations(assembled, position);
        auto record = computed_record(assembled, sun, rates);
        if (record) tally_used(assembled, record->method);
        return record;
    }

    std::optional<PointRecord> computed_record(const AssembledPoint& assembled,
                                               const MonthlySun& sun, const LapseRates& rates) {
        const PointClimate& climate = assembled.climate;
        PointRecord record;
        ReferenceEtProfile profile;
        const EtOptions options{recipe_.reference, recipe_.site_correction};
        if (std::isfinite(climate.elevation_m) && has_temperature(climate)) {
            const Surroundings around = survey_.around(climate);
            profile = reference_et_profile(climate, sun, around, options);
            record.gradients = elevation_gradients(climate, sun, around, options, rates, profile);
        }
        int known = 0;
        for (std::size_t month = 0; month < kMonths; ++month) {
            double& eto = record.eto[month];
            Method method = profile.method[month];
            eto = profile.eto_mm_per_day[month];
            if (!std::isnan(assembled.eto_of_grid[month])) {
                eto = std::max(assembled.eto_of_grid[month], 0.0);
                method = {};
                method.equation = EtoEquation::grid_of_eto;
                method.correction = SiteCorrection::not_done_grid_of_eto;
            }
            record.method[month] = method_code(method);
            if (!std::isnan(eto)) ++known;
        }
        if (known < kMonths) {
            if (known > 0 || has_temperature(climate)) ++block_.incomplete_points;
            return std::nullopt;
        }
        record.rain = climate.rain_mm;
        record.tmax = climate.tmax_c;
        record.tmin = climate.tmin_c;
        record.elevation_m = climate.elevation_m;
        record.period = period_set(assembled, record.method);
        return record;
    }

    static bool has_temperature(const PointClimate& climate) {
        return std::any_of(climate.tmax_c.begin(), climate.tmax_c.end(),
                           [](double t) { return !std::isnan(t); });
    }

    /// Did the month's values need this variable, given how its ETo was made? Drivers that a better
    /// one, or a grid of ETo, made idle did not speak.
    bool is_used(Variable variable, const Method& method, bool has_sunshine_hours) const {
        const bool is_driver_used = method.equation == EtoEquation::penman_monteith;
        switch (variable) {
            case Variable::tmax:
            case Variable::tmin:
            case Variable::tmean:
                return recipe_.temperature_layers || method.equation != EtoEquation::grid_of_eto;
            case Variable::vapour_pressure:
                return is_driver_used && method.humidity == HumidityFrom::vapour_pressure;
            case Variable::dew_point:
                return is_driver_used && method.humidity == HumidityFrom::dew_point;
            case Variable::relative_humidity:
                return is_driver_used && method.humidity == HumidityFrom::relative_humidity;
            case Variable::wind:
                return is_driver_used && method.wind == WindFrom::given;
            case Variable::radiation:
                return is_driver_used && method.radiation == RadiationFrom::given;
            case Variable::sunshine_hours:
                return is_driver_used && method.radiation == RadiationFrom::sunshine;
            case Variable::sunshine_fraction:
                return is_driver_used && method.radiation == RadiationFrom::sunshine &&
                       !has_sunshine_hours;
            case Variable::cloud:
                return is_driver_used && method.radiation == RadiationFrom::cloud;
            case Variable::eto:
                return method.equation == EtoEquation::grid_of_eto;
            case Variable::rain:
                return true;
            case Variable::rain_days:
            case Variable::elevation:
                return false;
        }
        return false;
    }

    template <class Visit>
    void for_each_used_value(const AssembledPoint& assembled, const Monthly<std::uint16_t>& methods,
                             const Visit& visit) const {
        const auto grid_of = [&assembled](Variable variable, std::size_t month) {
            return assembled.grid_of[static_cast<std::size_t>(variable)][month];
        };
        for (std::size_t month = 0; month < kMonths; ++month) {
            const Method method = method_of_code(methods[month]);
            const bool has_sunshine_hours = grid_of(Variable::sunshine_hours, month) != kNoGrid;
            for (const Variable variable : all_variables()) {
                const std::int8_t grid = grid_of(variable, month);
                if (grid != kNoGrid && is_used(variable, method, has_sunshine_hours))
                    visit(static_cast<std::size_t>(grid));
            }
        }
    }

    /// The periods of all grids whose values are in the point's.
    std::uint8_t period_set(const AssembledPoint& assembled,
                            const Monthly<std::uint16_t>& methods) const {
        unsigned set = 0;
        for_each_used_value(assembled, methods, [&](std::size_t grid) {
            const std::string& period = sources_.grids[grid].recipe->terms.period;
            const auto at = std::find(periods_.begin(), periods_.end(), period);
            set |= 1U << (at - periods_.begin());
        });
        return static_cast<std::uint8_t>(set);
    }

    void tally_used(const AssembledPoint& assembled, const Monthly<std::uint16_t>& methods) {
        for_each_used_value(assembled, methods,
                            [this](std::size_t grid) { ++block_.tallies[grid].used; });
    }

    void tally_combinations(const AssembledPoint& assembled, LatLon position) {
        for (const CombinedRejection& rejection : assembled.rejections) {
            const auto grid = static_cast<std::size_t>(rejection.grid);
            SourceTally& tally = block_.tallies[grid];
            tally.reject(std::string(rule_name(rejection.rule)));
            tally.add_example(suspect_of(*sources_.grids[grid].recipe, position, rejection.month,
                                         rejection.value, rule_name(rejection.rule)));
        }
    }

    void set(Tile& tile, LayerId id, std::size_t at, double value) const {
        const Layer* layer = layout_.find(id);
        if (layer != nullptr) tile.of(id)[at] = quantised(*layer, value);
    }

    void store(Tile& tile, int slot, const PointRecord& record) {
        tile.present[static_cast<std::size_t>(slot)] = 1;
        const auto first = static_cast<std::size_t>(slot) * kMonths;
        const bool has_temperature = all_known(record.tmax) && all_known(record.tmin);
        std::uint16_t least = 0;
        for (std::size_t month = 0; month < kMonths; ++month) {
            set(tile, LayerId::eto, first + month, record.eto[month]);
            set(tile, LayerId::rain, first + month, record.rain[month]);
            if (has_temperature) {
                set(tile, LayerId::tmax, first + month, record.tmax[month]);
                set(tile, LayerId::tmin, first + month, record.tmin[month]);
            }
            set(tile, LayerId::method, first + month, record.method[month]);
            least = std::max(least, record.method[month]);
            ++block_.months_by_method[record.method[month]];
        }
        set(tile, LayerId::period, static_cast<std::size_t>(slot), record.period);
        set(tile, LayerId::elevation, static_cast<std::size_t>(slot), record.elevation_m);
        ++block_.points;
        if (!all_known(record.rain)) ++block_.points_without_rain;
        ++block_.points_by_method[least];
        ++block_.points_by_period[record.period];
    }

    void store_gradients(Tile& tile, const ElevationGradients& sums, int count) const {
        for (std::size_t month = 0; month < kMonths; ++month) {
            set(tile, LayerId::eto_gradient, month, sums.eto_mm_per_day_per_km[month] / count);
            set(tile, LayerId::tmax_gradient, month, sums.tmax_c_per_km[month] / count);
            set(tile, LayerId::tmin_gradient, month, sums.tmin_c_per_km[month] / count);
        }
    }

    const BlockInputs& inputs_;
    const Recipe& recipe_;
    const SourceGrids& sources_;
    const Survey& survey_;
    TileLayout layout_;
    std::vector<std::string> periods_;
    std::vector<MonthlySun> suns_;
    BlockTiles block_;
};

}  // namespace

TileLayout layout_of(const Recipe& recipe) {
    TileLayout layout;
    layout.edge = recipe.lattice.tile_edge;
    using enum LayerId;
    for (const LayerId id : {eto, rain, tmax, tmin, method, period, elevation, eto_gradient,
                             tmax_gradient, tmin_gradient}) {
        const bool of_temperature =
            id == tmax || id == tmin || id == tmax_gradient || id == tmin_gradient;
        if (of_temperature && !recipe.temperature_layers) continue;
        if (const auto layer = layer_by_id(static_cast<int>(id))) layout.layers.push_back(*layer);
    }
    return layout;
}

std::vector<std::string> distinct_periods(const Recipe& recipe) {
    std::vector<std::string> periods;
    for (const GridRecipe& grid : recipe.grids) {
        if (std::find(periods.begin(), periods.end(), grid.terms.period) == periods.end())
            periods.push_back(grid.terms.period);
    }
    return periods;
}

std::string period_text(std::uint8_t set, const std::vector<std::string>& periods) {
    std::string text;
    for (std::size_t i = 0; i < periods.size(); ++i) {
        if ((set >> i & 1U) != 0) text += (text.empty() ? "" : "; ") + periods[i];
    }
    return text;
}

Result<BlockTiles> block_tiles(const BlockInputs& inputs, const Recipe& recipe,
                               const SourceGrids& sources, const Survey& survey) {
    return BlockComputation(inputs, recipe, sources, survey).computed();
}

}  // namespace thirstline
