// The answer core: evaluates a file at a position. Every program that answers from a file —
// command, library, exports, page, firmware — uses this arithmetic, and so gives the same digits.
//
// Integers only. The position is in whole 1e-7 degrees. Weights are products of two fractions of
// 1/32768 of the lattice's spacing (see cell_of). An interpolated value is
//     round_half_away(Σ weight·value·100 / Σ weight)
// over the corners of the cell that have that value: in hundredths of the stored unit. A corner of
// weight 0 is not used. If no corner of the cell has data, the nearest point within the lattice's
// reach answers. Lattices are used in order of decreasing rank: first each for its cell, then, if
// no cell has data, each for its nearest point.
//
// Distances are chords between unit vectors in 2^-30, from a sine in integers (see
// unit_vector_q30): they are valid at the poles and across the antimeridian.
//
// Thread safety: pure, except for the TileSource, which belongs to one thread at a time.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"
#include "schema/geo/lattice.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// Tiles near an absent one that are absent too.
struct AbsentTiles {
    std::int32_t first_column = 0;  ///< in the tile's own row of tiles, up to last_column
    std::int32_t last_column = 0;
    std::int32_t first_row = 1;  ///< rows without any tile, up to last_row
    std::int32_t last_row = 0;   ///< less than first_row: no such rows
};

/// A source of tiles: a database, an image, or a test.
class TileSource {
  public:
    TileSource() = default;
    TileSource(const TileSource&) = delete;
    TileSource& operator=(const TileSource&) = delete;
    virtual ~TileSource() = default;
    /// The decoded tile, or a null pointer if it is not in the file.
    [[nodiscard]] virtual Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                                   TileAddress address) = 0;

    /// What is known to be absent around a tile for which `tile` returned a null pointer: at least
    /// that tile.
    [[nodiscard]] virtual Result<AbsentTiles> absent_around(const Lattice& lattice,
                                                            TileAddress address) {
        static_cast<void>(lattice);
        return AbsentTiles{address.tile_column, address.tile_column, 1, 0};
    }
};

/// Range of elevations in a query: no site is outside, and within it no arithmetic overflows.
inline constexpr std::int32_t kLowestElevationM = -1'000;
inline constexpr std::int32_t kHighestElevationM = 10'000;

/// Maximum elevation difference of an adjustment, up or down: no open stations show what is beyond.
inline constexpr std::int32_t kMaxAdjustmentM = 1'500;

/// Answers are in units of 1/(divisor·100) of the layer's unit.
inline constexpr std::int32_t kAnswerScale = 100;

struct Answer {
    bool found = false;
    bool interpolated = false;  ///< from the corners of a cell, not from the nearest point
    int lattice_id = 0;
    LatLonE7 at;                  ///< the query if interpolated, else the point that answered
    std::int32_t distance_m = 0;  ///< 0 if interpolated
    std::int32_t reach_m = 0;     ///< the reach that was searched, if nothing was found
    /// Elevation difference of the adjustment: requested elevation minus the points' own, limited
    /// to kMaxAdjustmentM unless the file is older than format 1.2; 0 if no elevation was
    /// requested.
    std::int32_t shifted_by_cm = 0;
    bool exceeds_max_adjustment = false;  ///< whether more than kMaxAdjustmentM was requested
    /// By LayerId: interpolated integers (elevation: element 0); kMissingValue where unknown.
    Monthly<std::int32_t> values[kLayerSlots] = {};
    Monthly<std::uint16_t> method = {};  ///< the lowest of the corners, by month
    std::uint8_t period = 0;             ///< of the corner with the greatest weight

    [[nodiscard]] const Monthly<std::int32_t>& of(LayerId id) const {
        return values[static_cast<std::size_t>(id)];
    }
    [[nodiscard]] Monthly<std::int32_t>& of(LayerId id) {
        return values[static_cast<std::size_t>(id)];
    }
};

/// Answers a file's query for a position. With an elevation, tmax and tmin change by the tiles'
/// gradients times the difference to the points' interpolated elevation; eto likewise, limited to
/// half and double; rain by a factor that is exponential in the difference, limited to a quarter
/// and four. The standard errors of eto and rain grow with the difference. FORMAT.md, section 6,
/// defines every step. `lattices` may be in any order. Errors are those of the TileSource, and
/// usage for an elevation outside kLowestElevationM … kHighestElevationM.
[[nodiscard]] Result<Answer> answer_at(LatLonE7 position, std::optional<std::int32_t> elevation_m,
                                       const std::vector<Lattice>& lattices,
                                       const TileLayout& layout, TileSource& tiles);

}  // namespace thirstline
