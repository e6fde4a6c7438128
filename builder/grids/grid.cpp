#include "builder/grids/grid.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <sstream>
#include <utility>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/grid_bands.hpp"
#include "builder/grids/raster_geometry.hpp"

namespace thirstline {
namespace {

/// A number as a user would write it.
std::string in_words(double value) {
    std::ostringstream text;
    text.precision(6);
    text << value;
    return text.str();
}

/// "12.25° N, 30.5° W"
std::string in_words(LatLon at) {
    const auto part = [](double degrees, const char* positive, const char* negative) {
        const double rounded = std::round(std::abs(degrees) * 1e4) / 1e4;
        return in_words(rounded) + "° " + (degrees < 0.0 ? negative : positive);
    };
    return part(at.lat_deg, "N", "S") + ", " + part(normalised_lon_deg(at.lon_deg), "E", "W");
}

/// At most `most` whole numbers spread evenly over 0 … count − 1.
std::vector<int> spread_over(int count, int most) {
    std::vector<int> chosen;
    if (count <= most) {
        for (int i = 0; i < count; ++i) chosen.push_back(i);
        return chosen;
    }
    for (int i = 0; i < most; ++i) {
        chosen.push_back(
            static_cast<int>((static_cast<std::int64_t>(2 * i + 1) * count) / (2 * most)));
    }
    return chosen;
}

/// `samples_at` groups places that are this near to each other.
constexpr double kTogetherDeg = 10.0;
constexpr std::size_t kMaxTogether = 64;
constexpr std::size_t kMaxWindowBytes = std::size_t{32} << 20;

using PlaceGroups = std::vector<std::vector<std::size_t>>;

PlaceGroups nearby_groups(const std::vector<LatLon>& places) {
    std::map<std::pair<int, int>, std::vector<std::size_t>> boxes;
    for (std::size_t i = 0; i < places.size(); ++i) {
        boxes[{static_cast<int>(std::floor(places[i].lat_deg / kTogetherDeg)),
               static_cast<int>(std::floor(places[i].lon_deg / kTogetherDeg))}]
            .push_back(i);
    }
    PlaceGroups groups;
    for (const auto& [box, members] : boxes) {
        for (std::size_t first = 0; first < members.size(); first += kMaxTogether) {
            const std::size_t end = std::min(first + kMaxTogether, members.size());
            groups.emplace_back(members.begin() + static_cast<std::ptrdiff_t>(first),
                                members.begin() + static_cast<std::ptrdiff_t>(end));
        }
    }
    return groups;
}

/// Calls `take` with groups of places, each with its placement on the grid, that need little
/// memory.
template <class Take>
Result<void> in_small_groups(const Grid& grid, int bands, const std::vector<LatLon>& places,
                             const Take& take) {
    PlaceGroups waiting = nearby_groups(places);
    while (!waiting.empty()) {
        const std::vector<std::size_t> group = std::move(waiting.back());
        waiting.pop_back();
        std::vector<LatLon> points;
        for (const std::size_t i : group) points.push_back(places[i]);
        const Placement placement = grid.place(points);
        if (group.size() > 1 && placement.window_bytes(bands) > kMaxWindowBytes) {
            const auto half = group.begin() + static_cast<std::ptrdiff_t>(group.size() / 2);
            waiting.emplace_back(group.begin(), half);
            waiting.emplace_back(half, group.end());
            continue;
        }
        if (Result<void> taken = take(group, placement); !taken) return taken;
    }
    return {};
}

}  // namespace

int Grid::columns() const {
    return geometry_->columns();
}
int Grid::rows() const {
    return geometry_->rows();
}

LatLon Grid::cell_centre(int row, int column) const {
    return geometry_->positions_of({{static_cast<double>(column), static_cast<double>(row)}})
        .front();
}

bool Grid::touches(double west, double south, double east, double north) const {
    return geometry_->touches(west, south, east, north);
}

Placement Grid::place(const PointBlock& block) const {
    return place_block(*geometry_, block);
}

Placement Grid::place(const std::vector<LatLon>& points) const {
    return place_points(*geometry_, points, 1, static_cast<int>(points.size()));
}

CellOwnership Grid::ownership(const Lattice& lattice) const {
    return CellOwnership(geometry_, lattice);
}

bool same_geometry(const Grid& a, const Grid& b) {
    return a.geometry()->same_as(*b.geometry());
}

std::int64_t Grid::block_row_bytes() const {
    std::int64_t bytes = 0;
    for (const MonthBand& month : bands_->months) {
        int width = 0;
        int height = 0;
        month.band->GetBlockSize(&width, &height);
        const std::int64_t blocks = (geometry_->columns() + width - 1) / width;
        bytes +=
            blocks * width * height * GDALGetDataTypeSizeBytes(month.band->GetRasterDataType());
    }
    return bytes;
}

Result<void> Grid::check_unit_plausible() {
    // Reading one cell of a file's block costs as much as reading all of it, so short pieces of a
    // few rows are read, spread over the raster, for a winter and a summer month.
    constexpr int kPiecesAlong = 16;
    constexpr int kPieceColumns = 16;
    constexpr std::int64_t kEnough = 100;
    const GdalMessages messages;
    std::int64_t seen = 0;
    std::int64_t implausible = 0;
    double example = 0.0;
    LatLon example_at;
    const int piece = std::min(kPieceColumns, geometry_->columns());
    const std::vector<int> firsts = spread_over(geometry_->columns() - piece + 1, kPiecesAlong);
    std::vector<double> raw(static_cast<std::size_t>(piece));
    const auto look_at_rows = [&](const std::vector<int>& rows,
                                  const std::vector<int>& first_columns) -> bool {
        for (const std::size_t month : {std::size_t{0}, std::size_t{6}}) {
            if (month >= bands_->months.size()) break;
            const MonthBand& band = bands_->months[month];
            for (const int row : rows) {
                for (const int first : first_columns) {
                    if (band.band->RasterIO(GF_Read, first, row, piece, 1, raw.data(), piece, 1,
                                            GDT_Float64, 0, 0, nullptr) != CE_None) {
                        return false;
                    }
                    for (std::size_t i = 0; i < raw.size(); ++i) {
                        if (band.missing.is_missing(raw[i])) continue;
                        ++seen;
                        const double given = raw[i] * band.scale + band.offset;
                        const double value = conversion_.canonical(given, static_cast<int>(month));
                        if (!rejection_of(spec_.variable, value)) continue;
                        if (implausible++ == 0) {
                            example = given;
                            example_at = cell_centre(row, first + static_cast<int>(i));
                        }
                    }
                }
            }
        }
        return true;
    };

    bool readable = look_at_rows(spread_over(geometry_->rows(), kPiecesAlong), firsts);
    if (readable && seen < kEnough) {
        // Little land at those places, or a small raster: reads all pieces of more rows.
        seen = implausible = 0;
        std::vector<int> every_piece;
        for (int first = 0; first < geometry_->columns(); first += piece)
            every_piece.push_back(std::min(first, geometry_->columns() - piece));
        readable = look_at_rows(spread_over(geometry_->rows(), 4 * kPiecesAlong), every_piece);
    }
    if (!readable) {
        return fail(ErrorCode::bad_input, about_grid(spec_, spec_.path +
                                                                " is damaged: it cannot "
                                                                "be read" +
                                                                messages.after_colon()));
    }
    if (seen == 0 || 2 * implausible <= seen) return {};
    const PlausibleRange& range = plausible_range(spec_.variable);
    return fail(
        ErrorCode::bad_input,
        about_grid(spec_, "unit = \"" + spec_.unit + "\" cannot be right: " + in_words(example) +
                              " at " + in_words(example_at) + " and most of the values in " +
                              spec_.path + " are not valid for " +
                              std::string(variable_name(spec_.variable))),
        std::string(variable_name(spec_.variable)) + " must be from " + in_words(range.least) +
            " to " + in_words(range.greatest) + " " + std::string(canonical_unit(spec_.variable)) +
            ": " + std::string(range.because));
}

Result<std::vector<PlaceSample>> samples_at(Grid& grid, Grid* elevation,
                                            const std::vector<LatLon>& places, Coverage coverage) {
    std::vector<PlaceSample> samples(places.size());
    const auto take = [&](const std::vector<std::size_t>& group,
                          const Placement& placement) -> Result<void> {
        const Result<GridWindow> window = grid.read(placement);
        if (!window) return fail(window.error());
        std::shared_ptr<const CellElevations> elevations;
        if (elevation != nullptr)
            elevations = TRY(CellElevations::read(grid, placement, *elevation));
        for (std::size_t k = 0; k < group.size(); ++k) {
            const auto column = static_cast<int>(k);
            PlaceSample& result = samples[group[k]];
            result.sample = window->sample(placement, 0, column, coverage);
            for (int month = 0; elevations && month < kMonths; ++month) {
                result.ground[static_cast<std::size_t>(month)] =
                    window->cell_ground(placement, 0, column, *elevations, month, coverage);
            }
        }
        return {};
    };
    if (Result<void> done = in_small_groups(grid, kMonths, places, take); !done)
        return fail(done.error());
    return samples;
}

/// `value_of(window, placement, column, place)` of a grid of elevation, at each place.
template <class ValueOf>
static Result<std::vector<double>> terrain_at(Grid& elevation, const std::vector<LatLon>& places,
                                              const ValueOf& value_of) {
    std::vector<double> values(places.size());
    const auto take = [&](const std::vector<std::size_t>& group,
                          const Placement& placement) -> Result<void> {
        const Result<GridWindow> window = elevation.read(placement);
        if (!window) return fail(window.error());
        for (std::size_t k = 0; k < group.size(); ++k)
            values[group[k]] = value_of(*window, placement, static_cast<int>(k), group[k]);
        return {};
    };
    TRY(in_small_groups(elevation, 1, places, take));
    return values;
}

Result<std::vector<double>> elevations_at(Grid& elevation, const std::vector<LatLon>& places,
                                          const std::vector<bool>& inland) {
    return terrain_at(elevation, places,
                      [&inland](const GridWindow& window, const Placement& placement, int column,
                                std::size_t place) {
                          return window.point_elevation_m(placement, 0, column,
                                                          !inland.empty() && inland[place]);
                      });
}

Result<std::vector<double>> land_at(Grid& elevation, const std::vector<LatLon>& places) {
    return terrain_at(elevation, places,
                      [](const GridWindow& window, const Placement& placement, int column,
                         std::size_t) { return window.point_land_share(placement, 0, column); });
}

void set_up_gdal(std::int64_t block_cache_bytes) {
    GDALAllRegister();
    GDALSetCacheMax64(block_cache_bytes);
    // Inputs may be in folders that we must not write to.
    CPLSetConfigOption("CPL_VSIL_GZIP_WRITE_PROPERTIES", "NO");
    // Limits the wait for a server that does not respond.
    for (const auto& [name, seconds] :
         {std::pair{"GDAL_HTTP_CONNECTTIMEOUT", "30"}, std::pair{"GDAL_HTTP_LOW_SPEED_TIME", "60"},
          std::pair{"GDAL_HTTP_LOW_SPEED_LIMIT", "1"}}) {
        if (CPLGetConfigOption(name, nullptr) == nullptr) CPLSetConfigOption(name, seconds);
    }
}

}  // namespace thirstline
