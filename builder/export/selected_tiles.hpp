// Streams the data of an export: one row of tiles after another, each tile with the selected points
// only.
//
// Thread safety: belongs to one thread at a time; the Database must outlive it.
#pragma once

#include <atomic>
#include <optional>
#include <vector>

#include "builder/export/point_set.hpp"
#include "builder/export/site_selection.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

enum class PointsWanted {
    of_the_selection,    ///< points in box and region; for postal codes, the points that answer for
                         ///< them
    that_answer_for_it,  ///< and points around it, so that answers for all its sites are the same
};

struct SelectedTile {
    TileAddress address;
    Tile tile;              ///< points that are not selected are not present
    bool is_whole = false;  ///< no point was removed, so `data` has the same content
    int codec = 0;
    std::vector<std::uint8_t> data;  ///< as stored in the file
};

class SelectedTiles {
  public:
    /// Errors: those of answering_points.hpp.
    [[nodiscard]] static Result<SelectedTiles> make(Database& database,
                                                    const SiteSelection& selection,
                                                    PointsWanted wanted,
                                                    const std::atomic<bool>& interrupted);

    struct Rows {
        int first = 0;
        int last = -1;  ///< inclusive; less than `first` if there are none
    };
    /// The rows of tiles that can have selected points.
    [[nodiscard]] Rows tile_rows(const Lattice& lattice) const;

    /// The row's tiles with selected points, from west to east. Errors: bad_database; interrupted.
    [[nodiscard]] Result<std::vector<SelectedTile>> row(const Lattice& lattice, int tile_row) const;

  private:
    SelectedTiles(Database& database, const SiteSelection& selection, PointsWanted wanted,
                  const std::atomic<bool>& interrupted)
        : database_(&database),
          selection_(&selection),
          wanted_(wanted),
          interrupted_(&interrupted) {}
    [[nodiscard]] bool wants(const Lattice& lattice, LatticePoint point) const;
    /// First and last (inclusive) of the tile columns of a row that can have selected points.
    struct Columns {
        int first = 0;
        int last = -1;
    };
    /// From west to east, not adjacent to each other.
    [[nodiscard]] std::vector<Columns> tile_columns(const Lattice& lattice, int tile_row) const;
    [[nodiscard]] Result<void> add_tiles(std::vector<SelectedTile>& tiles, const Lattice& lattice,
                                         int tile_row, Columns columns) const;
    /// Removes the points that are not selected; false if none is left.
    bool trim(SelectedTile& tile, const Lattice& lattice) const;

    Database* database_;
    const SiteSelection* selection_;
    PointsWanted wanted_;
    const std::atomic<bool>* interrupted_;
    PointSet listed_;  ///< the points of postal codes, or those beyond a box or region
};

}  // namespace thirstline
