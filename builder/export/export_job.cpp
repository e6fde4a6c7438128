#include "builder/export/export_job.hpp"

#include <algorithm>
#include <limits>

#include "schema/database/whole_tables.hpp"

namespace thirstline {

namespace {

struct ColumnRange {
    int first = 0;
    int columns = 0;
};

ColumnRange range_of(const std::vector<bool>& is_used) {
    const auto first = std::ranges::find(is_used, true);
    const auto last = std::find(is_used.rbegin(), is_used.rend(), true);
    return {static_cast<int>(first - is_used.begin()), static_cast<int>(last.base() - first)};
}

/// On a lattice whose columns form a full circle, the range without the longest run of unused
/// columns.
ColumnRange range_around_the_circle(const std::vector<bool>& is_used) {
    const int columns = static_cast<int>(is_used.size());
    const int start = range_of(is_used).first;
    int longest = 0;
    int longest_end = start;
    int run = 0;
    for (int i = 1; i <= columns; ++i) {
        const int column = (start + i) % columns;
        run = is_used[static_cast<std::size_t>(column)] ? 0 : run + 1;
        if (run <= longest) continue;
        longest = run;
        longest_end = column + 1;
    }
    return {longest_end % columns, columns - longest};
}

/// Whether all values of a point, or missing ones, are within ±32767.
bool fits_16_bits(const Tile& tile, const RasterVariable& variable, int slot) {
    constexpr std::int32_t kGreatest = std::numeric_limits<std::int16_t>::max();
    const int months = variable.stored.shape == LayerShape::point ? 1 : kMonths;
    for (int month = 0; month < months; ++month) {
        const std::int32_t value = raster_value(tile, variable, slot, month);
        if (value != kMissingValue && (value > kGreatest || value < -kGreatest)) return false;
    }
    return true;
}

}  // namespace

const Layer* variable_of(const ExportJob& job, LayerId id) {
    const auto found = std::ranges::find(job.variables, id, &Layer::id);
    return found == job.variables.end() ? nullptr : &*found;
}

Result<void> for_each_selected_place(const ExportJob& job,
                                     const std::function<Result<void>(const PostalPlace&)>& take) {
    if (job.selection.places()) {
        for (const PostalPlace& place : *job.selection.places()) TRY(take(place));
        return {};
    }
    auto scan = TRY(PostalScan::over(job.database));
    while (true) {
        const auto place = TRY(scan.next());
        if (!place) return {};
        if (!job.selection.holds(place->position)) continue;
        TRY(take(*place));
    }
}

Error nothing_selected(const ExportJob& job) {
    return {ErrorCode::no_data, "no point of the selection has data in " + job.database.path(),
            job.selection.description().find("box ") == std::string::npos
                ? ""
                : "--bbox is west,south,east,north: longitude comes first"};
}

std::string variable_title(const Layer& layer, const Provenance& provenance) {
    switch (layer.id) {
        case LayerId::eto:
            return reference_et_name(provenance);
        case LayerId::rain:
            return "precipitation, including snow water equivalent";
        case LayerId::eto_se:
            return "standard error of " + reference_et_name(provenance);
        case LayerId::rain_se:
            return "standard error of precipitation";
        case LayerId::tmax:
            return "mean daily maximum air temperature";
        case LayerId::tmin:
            return "mean daily minimum air temperature";
        case LayerId::method:
            return "how reference evapotranspiration was computed; higher codes are less reliable";
        case LayerId::period:
            return "period of the normals";
        case LayerId::elevation:
            return "elevation above sea level";
        default:
            return std::string(layer.name);
    }
}

std::string variable_title(const RasterVariable& variable, const Provenance& provenance) {
    std::string title = variable_title(variable.stored, provenance);
    switch (variable.kind) {
        case RasterVariable::Kind::month_total:
            return title + ", total of the month";
        case RasterVariable::Kind::rain_minus_eto:
            return "rain minus " + title + ", total of the month";
        default:
            return title;
    }
}

Result<LatticeWindow> window_of(const ExportJob& job, const Lattice& lattice) {
    int first_row = lattice.rows;
    int last_row = -1;
    std::vector<bool> is_used(static_cast<std::size_t>(lattice.columns));
    std::vector<bool> fits(job.raster_variables.size(), true);
    const SelectedTiles::Rows rows = job.tiles.tile_rows(lattice);
    for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
        const auto tiles = TRY(job.tiles.row(lattice, tile_row));
        for (const SelectedTile& selected : tiles) {
            for (int slot = 0; slot < job.database.layout().slots(); ++slot) {
                if (selected.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
                const LatticePoint point = point_in_tile(lattice, selected.address, slot);
                first_row = std::min(first_row, point.row);
                last_row = std::max(last_row, point.row);
                is_used[static_cast<std::size_t>(point.column)] = true;
                for (std::size_t v = 0; v < fits.size(); ++v)
                    fits[v] = fits[v] && fits_16_bits(selected.tile, job.raster_variables[v], slot);
            }
        }
    }
    if (last_row < 0) return LatticeWindow{};
    ColumnRange range = range_of(is_used);
    if (wraps(lattice)) {
        const ColumnRange around = range_around_the_circle(is_used);
        if (2 * around.columns < range.columns) range = around;
    }
    return LatticeWindow{first_row, last_row - first_row + 1, range.first, range.columns,
                         std::move(fits)};
}

}  // namespace thirstline
