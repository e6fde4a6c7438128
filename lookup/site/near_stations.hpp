// The stations used for a site, with the weight of each there.
//
// Thread safety: pure functions, except for the Database, which belongs to one thread at a time.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// How similarity decreases with distance and elevation difference, as fitted by the build for mean
/// temperature: exp(−d/range − |Δz|/vertical).
struct StationKernel {
    double range_km = 500.0;
    double vertical_km = 1.5;
};

/// From the file's metadata; defaults if it has none.
[[nodiscard]] StationKernel station_kernel(const Database& database);

struct NearStation {
    StationRecord record;
    double distance_km = 0.0;
    std::optional<double>
        elevation_difference_m;  ///< station minus site; empty if the site's is not known
    double similarity = 0.0;     ///< 0 to 1, by the kernel
    double weight = 0.0;         ///< its share: the weights of the listed stations add up to 1
};

/// The site's own elevation if it is given, else that of the file's points there; empty if the file
/// has none. Errors: those of Database::answer.
[[nodiscard]] Result<std::optional<double>> site_elevation_m(
    Database& database, LatLonE7 site, std::optional<std::int32_t> given_elevation_m);

/// Up to `most` stations of the largest similarity, by decreasing weight.
[[nodiscard]] std::vector<NearStation> near_stations(const std::vector<StationRecord>& stations,
                                                     LatLonE7 site,
                                                     std::optional<double> site_elevation_m,
                                                     const StationKernel& kernel, std::size_t most);

}  // namespace thirstline
