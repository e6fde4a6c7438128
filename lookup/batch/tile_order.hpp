// Many sites are answered tile by tile, so that a tile's data are fetched from memory once for all
// sites in it.
//
// Thread safety: a TileOrder belongs to one thread at a time.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <utility>
#include <vector>

#include "schema/geo/lat_lon.hpp"
#include "schema/geo/lattice.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

/// Sites that a thread answers at a time: the more, the more of them share a tile that is decoded
/// once.
inline constexpr std::size_t kSitesInChunk = 32'768;

/// With fewer sites, starting other threads does not pay.
inline constexpr std::size_t kSitesAnsweredAlone = 4'096;

/// The key of the tile with most of the data for an answer at the position.
[[nodiscard]] inline std::int64_t main_tile_key(const std::vector<Lattice>& lattices,
                                                LatLonE7 position) {
    const Lattice& lattice = lattices.front();
    return tile_key(lattice.id, tile_of(lattice, cell_of(lattice, position).south_west));
}

/// Gradients are only needed to adjust an answer to a site's own elevation, and the layers of wet
/// and dry years only to describe these.
[[nodiscard]] inline TileLayout layers_to_answer(TileLayout layout, bool with_elevation,
                                                 bool with_years) {
    std::erase_if(layout.layers, [&](const Layer& layer) {
        const bool is_gradient =
            layer.id == LayerId::eto_gradient || layer.id == LayerId::rain_gradient ||
            layer.id == LayerId::tmax_gradient || layer.id == LayerId::tmin_gradient;
        const bool is_of_years =
            layer.id == LayerId::eto_year_slope || layer.id == LayerId::rain_year_slope ||
            layer.id == LayerId::normals_deviate || layer.id == LayerId::year_slope_se;
        return (is_gradient && !with_elevation) || (is_of_years && !with_years);
    });
    return layout;
}

/// Sorts the chunks of sites of one thread by their members `tile` and `row`. It alternates
/// direction: the tiles used last by the previous chunk are the most likely to be cached.
class TileOrder {
  public:
    template <class Site>
    void sort(std::vector<Site>& sites) {
        const auto key = [](const Site& site) { return std::pair(site.tile, site.row); };
        if (descends_)
            std::ranges::sort(sites, std::ranges::greater{}, key);
        else
            std::ranges::sort(sites, std::ranges::less{}, key);
        descends_ = !descends_;
    }

  private:
    bool descends_ = false;
};

}  // namespace thirstline
