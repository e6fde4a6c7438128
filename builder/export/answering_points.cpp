#include "builder/export/answering_points.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "schema/answer/nearest_point.hpp"

namespace thirstline {

namespace {

constexpr double kMetresPerArcsec = 6'371'009.0 * std::numbers::pi / 648'000.0;
/// Allows for rounding in distances and positions.
constexpr double kSlackM = 20.0;

std::int64_t floor_divided(std::int64_t dividend, std::int64_t divisor) {
    return dividend / divisor - (dividend % divisor < 0 ? 1 : 0);
}

Result<bool> holds_data(Database& database, const Lattice& lattice, LatticePoint point) {
    if (wraps(lattice))
        point.column = (point.column % lattice.columns + lattice.columns) % lattice.columns;
    if (!contains(lattice, point)) return false;
    const auto tile = TRY(database.tile(lattice, tile_of(lattice, point)));
    return tile && tile->present[static_cast<std::size_t>(slot_in_tile(lattice, point))] != 0;
}

/// Searches the lattices as `answer_at` does, for the points instead of their values.
Result<void> add_answering_points(PointSet& points, Database& database, LatLonE7 position) {
    const auto answer = TRY(database.answer(position));
    if (!answer.found) return {};
    const auto lattice = std::ranges::find(database.lattices(), answer.lattice_id, &Lattice::id);
    if (!answer.interpolated) {
        const auto nearest = TRY(nearest_point(position, *lattice, lattice->reach_m, database));
        if (nearest) points.add(*lattice, nearest->point);
        return {};
    }
    const CellPosition cell = cell_of(*lattice, position);
    for (const int north : {0, 1}) {
        for (const int east : {0, 1}) {
            const bool weighs =
                (north == 0 || cell.north_fraction > 0) && (east == 0 || cell.east_fraction > 0);
            LatticePoint point{cell.south_west.row + north, cell.south_west.column + east};
            if (wraps(*lattice))
                point.column = (point.column + lattice->columns) % lattice->columns;
            const auto has_data = TRY(holds_data(database, *lattice, point));
            if (weighs && has_data) points.add(*lattice, point);
        }
    }
    return {};
}

/// Visits the blocks of cells along a selection's edge. A site in a block that is not entirely
/// surrounded by data may be answered by its nearest point. Let d be the distance from the block's
/// middle to the point nearest to it and R that to its corners: the nearest point of any site in
/// the block is within d + 2 R of the middle, and within reach + R.
class MarginSearch {
  public:
    MarginSearch(Database& database, const SiteSelection& selection, const Lattice& lattice)
        : database_(database),
          selection_(selection),
          lattice_(lattice),
          cell_(lattice.spacing_arcsec * kUnitsPerArcsec) {
        const double cell_m = lattice.spacing_arcsec * kMetresPerArcsec;
        // Small compared to the reach, so that few points too many are included; larger is faster.
        cells_ = std::max(1, static_cast<int>(lattice.reach_m / (8.0 * cell_m)));
        radius_m_ = cells_ * cell_m / std::numbers::sqrt2 * 1.01 + kSlackM;
        const std::int64_t south = lattice.south_arcsec * kUnitsPerArcsec;
        near_lattice_ = widened(
            {south, south + (lattice.rows - 1) * cell_, lattice.west_arcsec * kUnitsPerArcsec,
             std::min((lattice.columns - 1) * cell_, kUnitsPerCircle)},
            lattice.reach_m + kSlackM);
    }

    Result<void> add_to(PointSet& points, const std::atomic<bool>& interrupted) const {
        const LatLonBox bounds = selection_.bounds().value_or(near_lattice_);
        const std::int64_t step = cells_ * cell_;
        const std::int64_t south = std::max({bounds.south, near_lattice_.south, -kPole});
        const std::int64_t north = std::min({bounds.north, near_lattice_.north, kPole});
        const std::int64_t origin = lattice_.south_arcsec * kUnitsPerArcsec;
        const std::int64_t columns = bounds.width / step + 2;
        const std::int64_t first_column =
            floor_divided(eastward(lattice_.west_arcsec * kUnitsPerArcsec, bounds.west), step);
        for (std::int64_t row = floor_divided(south - origin, step); origin + row * step <= north;
             ++row) {
            if (interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
            for (std::int64_t column = 0; column < columns; ++column) {
                const LatticePoint south_west{
                    static_cast<std::int32_t>(row * cells_),
                    static_cast<std::int32_t>((first_column + column) * cells_)};
                TRY(add_block(points, box_of_cells(lattice_, south_west, cells_)));
            }
        }
        return {};
    }

  private:
    Result<void> add_block(PointSet& points, const LatLonBox& block) const {
        if (!touches(near_lattice_, block) || !selection_.touches(block)) return {};
        // Deep inside, every possible nearest point is in the selection already.
        if (selection_.contains(widened(block, lattice_.reach_m + 2.0 * radius_m_))) return {};
        for (const Lattice& lattice : database_.lattices()) {
            const auto full = TRY(is_full(lattice, block));
            if (full) return {};
        }
        const LatLonE7 middle{
            static_cast<std::int32_t>(std::clamp((block.south + block.north) / 2, -kPole, kPole) /
                                      kUnitsPerE7),
            normalised_lon_e7((block.west + block.width / 2) / kUnitsPerE7)};
        const double farthest_m = lattice_.reach_m + radius_m_;
        const auto nearest =
            TRY(nearest_point(middle, lattice_, static_cast<std::int32_t>(farthest_m), database_));
        if (!nearest) return {};
        const double within_m = std::min(nearest->distance_m + 2.0 * radius_m_, farthest_m);
        const auto candidates = TRY(
            points_within(middle, lattice_, static_cast<std::int32_t>(within_m) + 1, database_));
        for (const LatticePoint point : candidates) points.add(lattice_, point);
        return {};
    }

    /// Whether all points around every site of the block have data.
    Result<bool> is_full(const Lattice& lattice, const LatLonBox& block) const {
        const std::int64_t cell = lattice.spacing_arcsec * kUnitsPerArcsec;
        const std::int64_t north_of = block.south - lattice.south_arcsec * kUnitsPerArcsec;
        const std::int64_t east_of = eastward(lattice.west_arcsec * kUnitsPerArcsec, block.west);
        const std::int64_t last_row = -floor_divided(-(north_of + block.north - block.south), cell);
        const std::int64_t last_column = -floor_divided(-(east_of + block.width), cell);
        for (std::int64_t row = floor_divided(north_of, cell); row <= last_row; ++row) {
            for (std::int64_t column = east_of / cell; column <= last_column; ++column) {
                const auto has_data = TRY(holds_data(
                    database_, lattice,
                    {static_cast<std::int32_t>(row), static_cast<std::int32_t>(column)}));
                if (!has_data) return false;
            }
        }
        return true;
    }

    Database& database_;
    const SiteSelection& selection_;
    const Lattice& lattice_;
    std::int64_t cell_;
    int cells_ = 1;
    double radius_m_ = 0.0;
    LatLonBox near_lattice_;
};

}  // namespace

Result<PointSet> points_that_answer(Database& database, const std::vector<PostalPlace>& places) {
    PointSet points;
    for (const PostalPlace& place : places)
        TRY(add_answering_points(points, database, place.position));
    return points;
}

Result<PointSet> nearest_points_beyond(Database& database, const SiteSelection& selection,
                                       const std::atomic<bool>& interrupted) {
    PointSet points;
    for (const Lattice& lattice : database.lattices()) {
        // At a pole, every site uses the first column.
        for (const std::int64_t pole : {-kPole, kPole}) {
            const std::int64_t row = (pole / kUnitsPerArcsec - lattice.south_arcsec);
            const bool has_pole = row >= 0 && row % lattice.spacing_arcsec == 0 &&
                                  row / lattice.spacing_arcsec < lattice.rows;
            if (has_pole && selection.touches({pole, pole, 0, kUnitsPerCircle}))
                points.add(lattice, {static_cast<std::int32_t>(row / lattice.spacing_arcsec), 0});
        }
        TRY(MarginSearch(database, selection, lattice).add_to(points, interrupted));
    }
    return points;
}

}  // namespace thirstline
