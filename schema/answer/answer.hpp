// The answer core: what a file says of a place. Everyone who answers from a file — command,
// library, exports, page, firmware — answers with this arithmetic, and so with the same digits.
//
// Integers only. The position is in whole 1e-7 degrees. Weights are products of two fractions of
// 1/32768 of the lattice's spacing (see cell_of). An interpolated value is
//     round_half_away(Σ weight·value·100 / Σ weight)
// over the corners of the cell that hold that value: in hundredths of the stored unit. A corner of
// weight 0 takes no part. Where no corner of the cell holds data, the nearest point within the
// lattice's reach answers. Lattices are asked by falling rank: first each for its cell, then, if no
// cell holds data, each for its nearest point.
//
// Distances are chords between unit vectors in 2^-30, from a sine in integers (see
// unit_vector_q30): they hold at the poles and across the antimeridian.
//
// Thread safety: pure, apart from the TileSource, which belongs to one thread at a time.
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

/// Tiles around an absent one that are absent, too.
struct AbsentTiles {
    std::int32_t first_column = 0;  ///< of its own row of tiles, up to last_column
    std::int32_t last_column = 0;
    std::int32_t first_row = 1;  ///< rows of tiles that hold none, up to last_row: none at all if
    std::int32_t last_row = 0;   ///< the last is less than the first
};

/// Where tiles come from: a database, an image, or a test.
class TileSource {
  public:
    TileSource() = default;
    TileSource(const TileSource&) = delete;
    TileSource& operator=(const TileSource&) = delete;
    virtual ~TileSource() = default;
    /// The decoded tile, or a null pointer where the file holds none.
    [[nodiscard]] virtual Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                                   TileAddress address) = 0;

    /// What is known to be absent around a tile for which `tile` gave a null pointer: that tile at
    /// the least.
    [[nodiscard]] virtual Result<AbsentTiles> absent_around(const Lattice& lattice,
                                                            TileAddress address) {
        static_cast<void>(lattice);
        return AbsentTiles{address.tile_column, address.tile_column, 1, 0};
    }
};

/// Elevations that may be asked for: no site lies outside, and within them no arithmetic overflows.
inline constexpr std::int32_t kLowestElevationM = -1'000;
inline constexpr std::int32_t kHighestElevationM = 10'000;

/// How far an answer is carried at most, up or down: no open stations tell what lies beyond.
inline constexpr std::int32_t kMaxCarriedM = 1'500;

/// Answers are in units of 1/(divisor·100) of the layer's unit.
inline constexpr std::int32_t kAnswerScale = 100;

struct Answer {
    bool found = false;
    bool interpolated = false;  ///< from the corners of a cell, not from the nearest point
    int lattice_id = 0;
    LatLonE7 at;                  ///< the query if interpolated, else the point that answered
    std::int32_t distance_m = 0;  ///< 0 if interpolated
    std::int32_t reach_m = 0;     ///< the reach that was searched, if nothing was found
    /// How far up values are carried: elevation asked for less the points' own, within
    /// kMaxCarriedM unless the file is older than format 1.2; 0 if not asked.
    std::int32_t shifted_by_cm = 0;
    bool is_beyond_carrying = false;  ///< was more than kMaxCarriedM asked for?
    /// By LayerId: interpolated integers (elevation: element 0); kMissingValue where unknown.
    Monthly<std::int32_t> values[kLayerSlots] = {};
    Monthly<std::uint16_t> method = {};  ///< the least of the corners', by month
    std::uint8_t period = 0;             ///< that of the corner with the greatest weight

    [[nodiscard]] const Monthly<std::int32_t>& of(LayerId id) const {
        return values[static_cast<std::size_t>(id)];
    }
    [[nodiscard]] Monthly<std::int32_t>& of(LayerId id) {
        return values[static_cast<std::size_t>(id)];
    }
};

/// What the file says of a position. With an elevation, tmax and tmin move by the tiles' gradients
/// times the difference to the points' interpolated elevation; eto likewise, to half or double at
/// most; rain by a factor that is exponential in the difference, a quarter to four at most. The
/// standard errors of eto and rain grow with the difference. FORMAT.md, section 6, has every step.
/// `lattices` need no order. Errors are those of the TileSource, and usage for an elevation outside
/// kLowestElevationM … kHighestElevationM.
[[nodiscard]] Result<Answer> answer_at(LatLonE7 position, std::optional<std::int32_t> elevation_m,
                                       const std::vector<Lattice>& lattices,
                                       const TileLayout& layout, TileSource& tiles);

}  // namespace thirstline
