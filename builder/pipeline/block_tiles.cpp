#include "builder/pipeline/block_tiles.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <map>
#include <optional>
#include <utility>

#include "builder/pipeline/gradient_squares.hpp"
#include "builder/pipeline/point_record.hpp"
#include "builder/pipeline/tile_values.hpp"
#include "builder/pipeline/used_values.hpp"
#include "schema/tile/method.hpp"
#include "schema/tile_code/tile_codec.hpp"

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

std::uint8_t bit_of(const std::vector<std::string>& periods, const std::string& period) {
    return static_cast<std::uint8_t>(
        1U << (std::find(periods.begin(), periods.end(), period) - periods.begin()));
}

/// Values that were rejected while the grids were read.
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

class BlockComputation {
  public:
    BlockComputation(const BlockInputs& inputs, const SourceGrids& sources,
                     const PointContext& context)
        : inputs_(inputs),
          recipe_(context.recipe),
          sources_(sources),
          context_(context),
          layout_(layout_of(context.recipe)),
          periods_(distinct_periods(context.recipe)),
          squares_(lattice_of_gradient_squares(context.recipe.lattice)) {
        block_.tallies.resize(sources.grids.size());
        for (const SourceGrid& grid : sources.grids)
            period_of_grid_.push_back(bit_of(periods_, grid.recipe->terms.period));
    }

    Result<BlockTiles> computed() {
        tally_cells(block_, inputs_, sources_);
        const BlockBounds& bounds = inputs_.bounds;
        for (int row = inputs_.around.first_row; row < inputs_.around.end_row; ++row)
            suns_.push_back(monthly_sun(position_of(recipe_.lattice, {row, 0}).lat_deg));
        const TileAddress first = tile_of(recipe_.lattice, {bounds.first_row, bounds.first_column});
        const TileAddress last =
            tile_of(recipe_.lattice, {bounds.end_row - 1, bounds.end_column - 1});
        for (int column = first.tile_column; column <= last.tile_column; ++column) {
            TRY(add_tile({first.tile_row, column}));
        }
        return std::move(block_);
    }

  private:
    static bool are_within(const BlockBounds& bounds, LatticePoint point) {
        return point.row >= bounds.first_row && point.row < bounds.end_row &&
               point.column >= bounds.first_column && point.column < bounds.end_column;
    }

    Result<void> add_tile(TileAddress address) {
        enter_square_of(point_in_tile(recipe_.lattice, address, 0));
        Tile tile = Tile::empty(layout_);
        int points = 0;
        for (int slot = 0; slot < layout_.slots(); ++slot) {
            const LatticePoint point = point_in_tile(recipe_.lattice, address, slot);
            if (!are_within(inputs_.bounds, point)) continue;
            const PointRecord record = record_of(point);
            tally_combinations(record.assembled, position_of(recipe_.lattice, point));
            if (!record.is_complete()) {
                if (record.has_temperature()) ++block_.incomplete_points;
                continue;
            }
            store(tile, slot, record);
            ++points;
        }
        if (points == 0) return {};
        square_gradients().store(tile, layout_);
        auto coded = TRY(coded_tile(tile));
        block_.tiles.push_back(
            {tile_key(recipe_.lattice.id, address), coded.codec, std::move(coded.data)});
        return {};
    }

    /// A square's tiles are consecutive, and share what was computed for its gradients.
    void enter_square_of(LatticePoint point) {
        const TileAddress square = tile_of(squares_, point);
        if (square_ == square) return;
        square_ = square;
        gradients_.reset();
        samples_.clear();
    }

    const GradientMean& square_gradients() {
        if (gradients_) return *gradients_;
        gradients_.emplace();
        for (const bool of_samples : {true, false}) {
            for (int slot = 0; slot < kGradientSquareEdge * kGradientSquareEdge; ++slot) {
                const LatticePoint point = point_in_tile(squares_, *square_, slot);
                if (!are_within(inputs_.around, point) ||
                    is_gradient_sample(squares_, point) != of_samples)
                    continue;
                const PointRecord record = record_of(point);
                if (!record.is_complete()) continue;
                gradients_->add(gradients_of(point, record));
                if (!of_samples) return *gradients_;  // one gradient is used for a few points
            }
            if (!gradients_->is_empty()) break;
        }
        return *gradients_;
    }

    PointRecord record_of(LatticePoint point) {
        const std::pair place{point.row, point.column};
        if (const auto found = samples_.find(place); found != samples_.end()) return found->second;
        const LatLon position = position_of(recipe_.lattice, point);
        const PlaceInputs inputs = inputs_of(point, position);
        PointRecord record =
            point_record(position, inputs, inputs.elevation_m, sun_of(point), context_);
        if (is_gradient_sample(squares_, point)) samples_.emplace(place, record);
        return record;
    }

    RecordGradients gradients_of(LatticePoint point, const PointRecord& record) const {
        const LatLon position = position_of(recipe_.lattice, point);
        return record_gradients(position, inputs_of(point, position), sun_of(point), context_,
                                record);
    }

    const MonthlySun& sun_of(LatticePoint point) const {
        return suns_[static_cast<std::size_t>(point.row - inputs_.around.first_row)];
    }

    [[nodiscard]] Result<TileBytes> coded_tile(const Tile& tile) const {
        if (recipe_.compact_tiles) return encode_tile_compactly(layout_, tile);
        auto plain = TRY(encode_tile(kCodecPlain, layout_, tile));
        return TileBytes{kCodecPlain, std::move(plain)};
    }

    [[nodiscard]] PlaceInputs inputs_of(LatticePoint point, LatLon position) const {
        const PlaceInputs* pole = context_.survey.pole(position.lat_deg);
        if (pole != nullptr) return *pole;
        return inputs_at(inputs_, point.row - inputs_.around.first_row,
                         point.column - inputs_.around.first_column);
    }

    /// The periods of all grids whose values are used at the point, or that of the stations that
    /// changed them.
    [[nodiscard]] std::uint8_t period_set(const PointRecord& record, const UsedValues& used) const {
        if (record.is_of_stations_period) return bit_of(periods_, recipe_.period);
        unsigned set = 0;
        for (std::size_t g = 0; g < period_of_grid_.size(); ++g)
            if (used[g] > 0) set |= period_of_grid_[g];
        // Without a grid the period is that of the stations.
        return set != 0 ? static_cast<std::uint8_t>(set) : bit_of(periods_, recipe_.period);
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

    void store(Tile& tile, int slot, const PointRecord& record) {
        const UsedValues used = used_values(record, recipe_.temperature_layers);
        for (std::size_t g = 0; g < block_.tallies.size(); ++g) block_.tallies[g].used += used[g];
        const std::uint8_t periods = period_set(record, used);
        store_record(tile, layout_, slot, record, periods);
        std::uint16_t least = 0;
        for (const std::uint16_t method : record.method) {
            least = std::max(least, method);
            ++block_.months_by_method[method];
        }
        ++block_.points;
        if (!all_known(record.rain_mm)) ++block_.points_without_rain;
        ++block_.points_by_method[least];
        ++block_.points_by_period[periods];
    }

    const BlockInputs& inputs_;
    const Recipe& recipe_;
    const SourceGrids& sources_;
    PointContext context_;
    TileLayout layout_;
    std::vector<std::string> periods_;
    std::vector<std::uint8_t> period_of_grid_;  ///< one bit of periods_ each
    std::vector<MonthlySun> suns_;              ///< by row of those that were read
    Lattice squares_;
    std::optional<TileAddress> square_;  ///< the square of the last tile
    std::optional<GradientMean> gradients_;
    std::map<std::pair<int, int>, PointRecord> samples_;  ///< of the square, by row and column
    BlockTiles block_;
};

}  // namespace

TileLayout layout_of(const Recipe& recipe) {
    TileLayout layout;
    layout.edge = recipe.lattice.tile_edge;
    using enum LayerId;
    for (const LayerId id : {eto, rain, eto_se, rain_se, tmax, tmin, method, period, elevation,
                             eto_gradient, rain_gradient, tmax_gradient, tmin_gradient,
                             eto_year_slope, rain_year_slope, normals_deviate, year_slope_se}) {
        const bool of_stations = id == eto_se || id == rain_se || id == rain_gradient;
        if (of_stations && recipe.stations.empty()) continue;
        const bool of_temperature =
            id == tmax || id == tmin || id == tmax_gradient || id == tmin_gradient;
        if (of_temperature && !recipe.temperature_layers) continue;
        if (id >= eto_year_slope && !recipe.year_layers) continue;
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
    // Stations change the background to the baseline's own period.
    if (!recipe.stations.empty() &&
        std::find(periods.begin(), periods.end(), recipe.period) == periods.end())
        periods.push_back(recipe.period);
    return periods;
}

std::string period_text(std::uint8_t set, const std::vector<std::string>& periods) {
    std::string text;
    for (std::size_t i = 0; i < periods.size(); ++i) {
        if ((set >> i & 1U) != 0) text += (text.empty() ? "" : "; ") + periods[i];
    }
    return text;
}

Result<BlockTiles> block_tiles(const BlockInputs& inputs, const SourceGrids& sources,
                               const PointContext& context) {
    return BlockComputation(inputs, sources, context).computed();
}

}  // namespace thirstline
