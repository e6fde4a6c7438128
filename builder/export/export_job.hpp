// The input of all format writers, and functions that they share.
#pragma once

#include <atomic>
#include <functional>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "builder/export/provenance.hpp"
#include "builder/export/raster_variables.hpp"
#include "builder/export/selected_tiles.hpp"
#include "builder/export/site_selection.hpp"
#include "schema/database/database.hpp"
#include "schema/tile/layers.hpp"

namespace thirstline {

struct ExportJob {
    Database& database;
    const SiteSelection& selection;
    const SelectedTiles& tiles;
    std::vector<Lattice> lattices;  ///< to be written, by ascending id
    std::vector<Layer> variables;   ///< layers of points, by ascending id; none for rasters
    Provenance provenance;
    std::string output;  ///< the target's path
    const std::atomic<bool>& interrupted;
    std::vector<RasterVariable> raster_variables{};  ///< of rasters only
    /// Of images only: every 128 tiles begin at a multiple of this many bytes, so that a tile that
    /// changes its size seldom moves the others. 0: without gaps.
    int page_bytes = 0;
    /// Of images only: also how the values change with elevation.
    bool with_gradients = false;
};

/// A point's value for a month; a layer with one value per point has the same in every month.
[[nodiscard]] inline std::int32_t value_at(const Tile& tile, const Layer& layer, int slot,
                                           int month) {
    const std::vector<std::int32_t>& values = tile.of(layer.id);
    return layer.shape == LayerShape::point ? values[static_cast<std::size_t>(slot)]
                                            : tile.month_value(layer.id, slot, month);
}

/// The job's layer of that id; null if it is not exported.
[[nodiscard]] const Layer* variable_of(const ExportJob& job, LayerId id);

/// Calls `take` for each postal code of the selection, by code, then country, until the first
/// error. Errors: those of `take`, and of reading the database.
[[nodiscard]] Result<void> for_each_selected_place(
    const ExportJob& job, const std::function<Result<void>(const PostalPlace&)>& take);

/// The no_data Error of a selection without any point with data.
[[nodiscard]] Error nothing_selected(const ExportJob& job);

/// A title: "reference evapotranspiration, short reference surface (grass)", "rain".
[[nodiscard]] std::string variable_title(const Layer& layer, const Provenance& provenance);
[[nodiscard]] std::string variable_title(const RasterVariable& variable,
                                         const Provenance& provenance);

/// Means "missing" in values written with 16 bits.
inline constexpr std::int32_t kMissing16 = std::numeric_limits<std::int16_t>::min();

/// The smallest box of lattice points around all points of one lattice that are exported. If the
/// lattice forms a full circle, column numbers continue past its last one if that makes the box
/// less than half as wide.
struct LatticeWindow {
    int first_row = 0;
    int rows = 0;  ///< 0 if there are no points
    int first_column = 0;
    int columns = 0;
    std::vector<bool> fits_16_bits;  ///< by raster variable of the job: all within ±32767

    /// The window's column for a column of the lattice.
    [[nodiscard]] int column_of(const Lattice& lattice, int lattice_column) const {
        const int column = lattice_column - first_column;
        return column < 0 ? column + lattice.columns : column;
    }
};

/// Reads all tiles once. Errors: those of SelectedTiles::row.
[[nodiscard]] Result<LatticeWindow> window_of(const ExportJob& job, const Lattice& lattice);

}  // namespace thirstline
