// The same integers in other stores, for comparison: a GeoTIFF, rows of SQLite, rows of SQLite
// found through an R*Tree, and a flat file.
//
// Thread safety: a store belongs to one thread at a time.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline::benchmarks {

/// ETo in hundredths of mm/day and rain in mm, January first.
using PointValues = std::array<std::int16_t, 2UL * kMonths>;

struct StoredValues {
    Lattice lattice;
    std::vector<LatticePoint> points;  ///< that hold data
    std::vector<PointValues> values;   ///< of each of them
};

class RivalStore {
  public:
    RivalStore() = default;
    RivalStore(const RivalStore&) = delete;
    RivalStore& operator=(const RivalStore&) = delete;
    virtual ~RivalStore() = default;
    [[nodiscard]] virtual PointValues values_at(LatticePoint point) = 0;
    /// Forgets what it keeps in memory, as far as it can.
    virtual void forget() {}
    [[nodiscard]] virtual std::int64_t file_bytes() const = 0;
};

/// ZSTD at its highest level, horizontal differencing, pixels interleaved; tiles of 16 or 256.
[[nodiscard]] std::unique_ptr<RivalStore> geotiff_store(const StoredValues& values,
                                                        const std::string& path, int tile_pixels);
/// Integer key, blob of 48 bytes.
[[nodiscard]] std::unique_ptr<RivalStore> sqlite_rows(const StoredValues& values,
                                                      const std::string& path);
/// Found by position in an R*Tree, then by key.
[[nodiscard]] std::unique_ptr<RivalStore> sqlite_rtree(const StoredValues& values,
                                                       const std::string& path);
/// 48 bytes for every point of the box, data or not; one pread each.
[[nodiscard]] std::unique_ptr<RivalStore> flat_file(const StoredValues& values,
                                                    const std::string& path);

/// Throws std::runtime_error with the text unless it holds.
void require(bool holds, const std::string& what);

}  // namespace thirstline::benchmarks
