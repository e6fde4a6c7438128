#include "schema/nearest_point.hpp"

#include <algorithm>
#include <cstdlib>
#include <tuple>

#include "schema/chord.hpp"

namespace thirstline {

namespace {

/// Rounding moves a unit vector by up to some 200 of 2^-30 (and a chord by twice that), so that of
/// two chords that lie nearer to each other than four times that the computed order may be the
/// other one. The walk goes on by this much beyond the best (6 m): then nothing better lies farther
/// out.
constexpr std::int64_t kRoundingQ30 = 1024;
constexpr std::int64_t kBeyondAnyChordQ30 = 3'000'000'000;

class NearestPointSearch {
  public:
    NearestPointSearch(LatLonE7 position, const Lattice& lattice, std::int32_t reach_m,
                       TileSource& tiles)
        : position_(position),
          direction_(unit_vector_q30(position)),
          lattice_(lattice),
          reach_m_(reach_m),
          tiles_(tiles) {
        search_within(((std::int64_t{reach_m} + 1) << 30) / kEarthRadiusM + 1);
    }

    Result<std::optional<NearestPoint>> found() {
        const LatticePoint start = cell_of(lattice_, position_).south_west;
        for (const int step : {-1, 1}) {
            int row = step < 0 ? start.row : start.row + 1;
            row = step < 0 ? std::min(row, lattice_.rows - 1) : std::max(row, 0);
            for (; row >= 0 && row < lattice_.rows && row_is_near(row); row += step) {
                if (auto searched = search_row(row, start.column); !searched) {
                    return fail(searched.error());
                }
            }
        }
        if (!best_) return std::optional<NearestPoint>{};
        return std::optional{NearestPoint{best_->point, metres_of_squared_chord(best_->squared)}};
    }

  private:
    struct Candidate {
        std::int64_t squared;
        LatticePoint point;
    };

    std::int64_t squared_chord_to(LatticePoint point) const {
        return squared_chord_q60(direction_, unit_vector_q30(position_e7_of(lattice_, point)));
    }

    void search_within(std::int64_t chord) {
        chord = std::min(chord + kRoundingQ30, kBeyondAnyChordQ30);
        search_limit_squared_ = chord * chord;
    }

    bool near_enough(std::int64_t squared) const { return squared <= search_limit_squared_; }

    /// A row is no nearer than its point due north or south.
    bool row_is_near(int row) const {
        const LatLonE7 due{position_e7_of(lattice_, {row, 0}).lat_e7, position_.lon_e7};
        return near_enough(squared_chord_q60(direction_, unit_vector_q30(due)));
    }

    /// Both ways along a row: distance grows up to the opposite meridian.
    Result<void> search_row(int row, int start_column) {
        const bool inside = start_column >= 0 && start_column < lattice_.columns;
        const int west_start = inside ? start_column : lattice_.columns - 1;
        const int east_start = inside ? (start_column + 1) % lattice_.columns : 0;
        if (auto walked = walk(row, west_start, -1); !walked) return walked;
        return walk(row, east_start, 1);
    }

    Result<void> walk(int row, int column, int step) {
        for (int walked = 0; walked < lattice_.columns; ++walked) {
            const LatticePoint point{row, column};
            const std::int64_t squared = squared_chord_to(point);
            if (!near_enough(squared)) break;
            const auto tile = tiles_.tile(lattice_, tile_of(lattice_, point));
            if (!tile) return fail(tile.error());
            if (*tile && (*tile)->present[static_cast<std::size_t>(slot_in_tile(lattice_, point))])
                take_if_better({squared, point});
            column = (column + step + lattice_.columns) % lattice_.columns;
        }
        return {};
    }

    void take_if_better(const Candidate& candidate) {
        const auto order = [](const Candidate& c) {
            return std::tuple(c.squared, c.point.row, c.point.column);
        };
        if (best_ ? order(candidate) >= order(*best_)
                  : metres_of_squared_chord(candidate.squared) > reach_m_) {
            return;
        }
        best_ = candidate;
        search_within(chord_q30(candidate.squared) + 1);
    }

    LatLonE7 position_;
    UnitVectorQ30 direction_;
    const Lattice& lattice_;
    std::int32_t reach_m_;
    TileSource& tiles_;
    std::optional<Candidate> best_;
    std::int64_t search_limit_squared_ = 0;
};

}  // namespace

Result<std::optional<NearestPoint>> nearest_point(LatLonE7 position, const Lattice& lattice,
                                                  std::int32_t reach_m, TileSource& tiles) {
    return NearestPointSearch(position, lattice, reach_m, tiles).found();
}

}  // namespace thirstline
