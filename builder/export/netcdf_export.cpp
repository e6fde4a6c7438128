#include <algorithm>
#include <array>

#include "builder/export/climatology_time.hpp"
#include "builder/export/format_writers.hpp"
#include "builder/export/netcdf_file.hpp"
#include "builder/export/staged_files.hpp"
#include "schema/whole_tables.hpp"

namespace thirstline {

namespace {

constexpr int kChunkRows = 8;
constexpr int kMostChunkColumns = 256;

/// How the CF conventions call a layer. A flux of a kilogram of water a square metre is a
/// millimetre.
struct CfNames {
    const char* standard_name;
    const char* units;
    const char* cell_methods;
    const char* ancillary_variables;
};

CfNames cf_names(LayerId id) {
    switch (id) {
        case LayerId::eto:
            return {"water_potential_evaporation_flux", "kg m-2 day-1",
                    "time: mean within years time: mean over years", "eto_se method period"};
        case LayerId::eto_se:
            return {"water_potential_evaporation_flux standard_error", "kg m-2 day-1", "", ""};
        case LayerId::rain:
            return {"lwe_thickness_of_precipitation_amount", "mm",
                    "time: sum within years time: mean over years", "rain_se period"};
        case LayerId::rain_se:
            return {"lwe_thickness_of_precipitation_amount standard_error", "mm", "", ""};
        case LayerId::tmax:
            return {"air_temperature", "degC",
                    "time: maximum within days time: mean over days time: mean over years",
                    "period"};
        case LayerId::tmin:
            return {"air_temperature", "degC",
                    "time: minimum within days time: mean over days time: mean over years",
                    "period"};
        case LayerId::elevation:
            return {"surface_altitude", "m", "", ""};
        default:
            return {"", "", "", ""};
    }
}

/// One word for a list of flag meanings (CF section 3.5).
std::string flag_word(std::string_view text) {
    std::string word;
    for (const char c : text) {
        const bool is_plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') ||
                              (c >= 'A' && c <= 'Z') || c == '-' || c == '.';
        if (is_plain) {
            word += c;
        } else if (!word.empty() && word.back() != '_') {
            word += '_';
        }
    }
    while (word.ends_with('_')) word.pop_back();
    return word.empty() ? "unnamed" : word;
}

struct Flags {
    std::vector<std::int32_t> values;
    std::string meanings;

    void add(std::int32_t value, std::string_view meaning) {
        values.push_back(value);
        meanings += (meanings.empty() ? "" : " ") + flag_word(meaning);
    }
};

class NetcdfExport {
  public:
    NetcdfExport(const ExportJob& job, const Lattice& lattice) : job_(job), lattice_(lattice) {}

    Result<void> write() {
        const auto years = years_of_period(job_.provenance.period);
        if (!years) {
            return fail(ErrorCode::bad_input,
                        "the baseline's period \"" + job_.provenance.period +
                            "\" names no years, and a netCDF climatology needs them",
                        "build it with a period such as 1991-2020, or take another format");
        }
        const auto window = window_of(job_, lattice_);
        if (!window) return fail(window.error());
        if (window->rows == 0) {
            return fail(nothing_selected(job_));
        }
        window_ = *window;
        auto staged = StagedFiles::beside(job_.output);
        if (!staged) return fail(staged.error());
        NetcdfFile file(staged->path("climatology.nc"), job_.output);
        if (auto written = write_into(file, *years); !written) return written;
        if (auto finished = file.finish(); !finished) return finished;
        return staged->place("climatology.nc", job_.output);
    }

  private:
    Result<void> write_into(NetcdfFile& file, YearRange years) {
        const int time = file.add_dimension("time", kMonths);
        const int lat = file.add_dimension("lat", static_cast<std::size_t>(window_.rows));
        const int lon = file.add_dimension("lon", static_cast<std::size_t>(window_.columns));
        const int bounds = file.add_dimension("bounds", 2);
        const ClimatologyTime months = climatology_time(years);
        const Axes axes = define_axes(file, {time, lat, lon, bounds}, months);
        const int crs = file.add_scalar("crs");
        file.set_text(crs, "grid_mapping_name", "latitude_longitude");
        file.set_text(crs, "long_name", "WGS 84, EPSG:4326");
        file.set_double(crs, "semi_major_axis", 6378137.0);
        file.set_double(crs, "inverse_flattening", 298.257223563);
        file.set_double(crs, "longitude_of_prime_meridian", 0.0);
        for (const Layer& layer : job_.variables) {
            if (auto defined = define(file, layer, time, lat, lon); !defined) return defined;
        }
        set_globals(file);
        file.end_definitions();
        write_axes(file, axes, months);
        return write_values(file);
    }

    struct Axes {
        int time, time_bounds, lat, lat_bounds, lon, lon_bounds;
    };

    static Axes define_axes(NetcdfFile& file, const std::array<int, 4>& dimensions,
                            const ClimatologyTime& months) {
        const auto [time, lat, lon, bounds] = dimensions;
        const auto axis = [&](const char* name, int dimension, const char* standard_name,
                              std::string_view units, const char* letter) {
            const int variable = file.add_double_variable(name, std::array{dimension});
            file.set_text(variable, "standard_name", standard_name);
            file.set_text(variable, "units", units);
            file.set_text(variable, "axis", letter);
            return variable;
        };
        Axes axes{};
        axes.time = axis("time", time, "time", months.units, "T");
        file.set_text(axes.time, "long_name", "month of the year");
        file.set_text(axes.time, "calendar", "standard");
        file.set_text(axes.time, "climatology", "climatology_bounds");
        axes.lat = axis("lat", lat, "latitude", "degrees_north", "Y");
        file.set_text(axes.lat, "bounds", "lat_bounds");
        axes.lon = axis("lon", lon, "longitude", "degrees_east", "X");
        file.set_text(axes.lon, "bounds", "lon_bounds");
        axes.time_bounds = file.add_double_variable("climatology_bounds", std::array{time, bounds});
        axes.lat_bounds = file.add_double_variable("lat_bounds", std::array{lat, bounds});
        axes.lon_bounds = file.add_double_variable("lon_bounds", std::array{lon, bounds});
        return axes;
    }

    void write_axes(NetcdfFile& file, const Axes& axes, const ClimatologyTime& months) const {
        std::vector<double> bounds;
        for (std::size_t month = 0; month < kMonths; ++month)
            bounds.insert(bounds.end(), {months.start[month], months.end[month]});
        file.write(axes.time, months.middle);
        file.write(axes.time_bounds, bounds);
        const double spacing = lattice_.spacing_arcsec;
        const auto write_axis = [&](int axis, int axis_bounds, double first_arcsec, int count,
                                    double most_arcsec) {
            std::vector<double> middles;
            std::vector<double> edges;
            for (int i = 0; i < count; ++i) {
                const double arcsec = first_arcsec + i * spacing;
                middles.push_back(arcsec / kArcsecPerDegree);
                for (const double side : {-0.5, 0.5}) {
                    edges.push_back(std::clamp(arcsec + side * spacing, -most_arcsec, most_arcsec) /
                                    kArcsecPerDegree);
                }
            }
            file.write(axis, middles);
            file.write(axis_bounds, edges);
        };
        // Cells end at the poles; a longitude may go on past 180°.
        write_axis(axes.lat, axes.lat_bounds, lattice_.south_arcsec + window_.first_row * spacing,
                   window_.rows, 90.0 * kArcsecPerDegree);
        write_axis(axes.lon, axes.lon_bounds, lattice_.west_arcsec + window_.first_column * spacing,
                   window_.columns, 3.0 * kArcsecPerCircle);
    }

    Result<void> define(NetcdfFile& file, const Layer& layer, int time, int lat, int lon) {
        const bool is_monthly = layer.shape == LayerShape::point_month;
        std::vector<int> dimensions{lat, lon};
        std::vector<std::size_t> chunk{
            static_cast<std::size_t>(std::min(kChunkRows, window_.rows)),
            static_cast<std::size_t>(std::min(kMostChunkColumns, window_.columns))};
        if (is_monthly) {
            dimensions.insert(dimensions.begin(), time);
            chunk.insert(chunk.begin(), kMonths);
        }
        const int id =
            file.add_integer_variable(std::string(layer.name), dimensions, chunk, kMissingValue);
        variables_.push_back(id);
        const CfNames names = cf_names(layer.id);
        file.set_text(id, "standard_name", names.standard_name);
        file.set_text(id, "long_name", variable_title(layer, job_.provenance));
        file.set_text(id, "units", names.units);
        file.set_text(id, "cell_methods", names.cell_methods);
        file.set_text(id, "ancillary_variables", those_written(names.ancillary_variables));
        file.set_text(id, "grid_mapping", "crs");
        if (layer.divisor != 1) file.set_double(id, "scale_factor", 1.0 / layer.divisor);
        if (layer.id == LayerId::eto) {
            file.set_text(id, "comment",
                          "1 kg m-2 of water is 1 mm; of the reference surface named above, not of "
                          "open water; site correction: " +
                              job_.provenance.site_correction);
        }
        if (layer.id != LayerId::method && layer.id != LayerId::period) return {};
        const auto flags = layer.id == LayerId::method ? method_flags() : period_flags();
        if (!flags) return fail(flags.error());
        if (flags->values.empty()) return {};
        file.set_integers(id, "flag_values", flags->values);
        file.set_text(id, "flag_meanings", flags->meanings);
        return {};
    }

    std::string those_written(std::string_view names) const {
        std::string written;
        while (!names.empty()) {
            const std::size_t blank = std::min(names.find(' '), names.size());
            const std::string_view name = names.substr(0, blank);
            names.remove_prefix(std::min(blank + 1, names.size()));
            if (std::ranges::find(job_.variables, name, &Layer::name) == job_.variables.end())
                continue;
            written += (written.empty() ? "" : " ") + std::string(name);
        }
        return written;
    }

    Result<Flags> method_flags() const {
        const auto methods = method_rows(job_.database);
        if (!methods) return fail(methods.error());
        Flags flags;
        for (const MethodRow& method : *methods) {
            flags.add(method.code, method.name + " " + method.note + " site correction " +
                                       method.site_correction);
        }
        return flags;
    }

    Result<Flags> period_flags() const {
        const auto periods = period_rows(job_.database);
        if (!periods) return fail(periods.error());
        Flags flags;
        for (const PeriodRow& period : *periods) flags.add(period.id, period.text);
        return flags;
    }

    void set_globals(NetcdfFile& file) const {
        const Provenance& provenance = job_.provenance;
        std::string sources;
        std::string references = "FAO Irrigation and Drainage Paper 56 (1998)";
        for (const Source& source : provenance.sources) {
            sources += (sources.empty() ? "" : "\n") + source_line(source);
            if (!source.url.empty() && references.find(source.url) == std::string::npos)
                references += "; " + source.url;
        }
        file.set_global_text("Conventions", "CF-1.8");
        file.set_global_text("title", provenance.title);
        file.set_global_text("institution", provenance.publisher);
        file.set_global_text("source", sources);
        file.set_global_text("references", references);
        file.set_global_text("license", licences(provenance));
        file.set_global_text("attribution", attributions(provenance));
        file.set_global_text("comment", provenance.notice);
        file.set_global_text("region", provenance.region);
        file.set_global_text("period", provenance.period);
        file.set_global_text("selection", provenance.selection);
        file.set_global_text("history", "written by " + provenance.program +
                                            " from a database of content SHA-256 " +
                                            provenance.content_sha256);
    }

    /// Whole chunks at a time: rows are gathered until a chunk's height is full.
    Result<void> write_values(NetcdfFile& file) {
        const SelectedTiles::Rows rows = job_.tiles.tile_rows(lattice_);
        RowsOfChunk chunk(job_.variables, window_);
        for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
            const auto tiles = job_.tiles.row(lattice_, tile_row);
            if (!tiles) return fail(tiles.error());
            for (int row = 0; row < lattice_.tile_edge; ++row) {
                const int window_row =
                    point_in_tile(lattice_, {tile_row, 0}, 0).row + row - window_.first_row;
                if (window_row < 0 || window_row >= window_.rows) continue;
                for (const SelectedTile& selected : *tiles) take(chunk, selected, row, window_row);
                const bool is_last = window_row == window_.rows - 1;
                if ((window_row + 1) % kChunkRows != 0 && !is_last) continue;
                chunk.write(file, variables_, window_row);
                if (auto good = file.so_far(); !good) return good;
            }
        }
        return {};
    }

    struct RowsOfChunk {
        RowsOfChunk(const std::vector<Layer>& layers, const LatticeWindow& of_window)
            : variables(layers), window(of_window) {
            for (const Layer& layer : layers) {
                const std::size_t planes = layer.shape == LayerShape::point ? 1 : kMonths;
                values.emplace_back(planes * kChunkRows * static_cast<std::size_t>(window.columns),
                                    kMissingValue);
            }
        }

        /// Rows up to and with `last_row` of the window, which ends the chunk; empties it.
        void write(NetcdfFile& file, const std::vector<int>& ids, int last_row) {
            const auto first = static_cast<std::size_t>(last_row / kChunkRows * kChunkRows);
            const std::size_t count = static_cast<std::size_t>(last_row) + 1 - first;
            const auto columns = static_cast<std::size_t>(window.columns);
            for (std::size_t v = 0; v < variables.size(); ++v) {
                const bool is_monthly = variables[v].shape == LayerShape::point_month;
                const std::size_t planes = is_monthly ? kMonths : 1;
                if (count < kChunkRows) close_ranks(values[v], planes, count * columns, columns);
                const std::size_t start[] = {0, first, 0};
                const std::size_t counts[] = {kMonths, count, columns};
                const std::size_t skipped = is_monthly ? 0 : 1;
                file.write(ids[v], std::span(start).subspan(skipped),
                           std::span(counts).subspan(skipped), values[v]);
                std::ranges::fill(values[v], kMissingValue);
            }
        }

        /// A chunk that is not full has its months nearer to each other.
        static void close_ranks(std::vector<std::int32_t>& planes_of_rows, std::size_t planes,
                                std::size_t plane_size, std::size_t columns) {
            for (std::size_t plane = 1; plane < planes; ++plane) {
                const auto from = planes_of_rows.begin() +
                                  static_cast<std::ptrdiff_t>(plane * kChunkRows * columns);
                std::copy_n(
                    from, plane_size,
                    planes_of_rows.begin() + static_cast<std::ptrdiff_t>(plane * plane_size));
            }
        }

        const std::vector<Layer>& variables;
        const LatticeWindow& window;
        std::vector<std::vector<std::int32_t>> values;  ///< month, row, column
    };

    void take(RowsOfChunk& chunk, const SelectedTile& selected, int row_of_tile,
              int window_row) const {
        const auto columns = static_cast<std::size_t>(window_.columns);
        for (int c = 0; c < lattice_.tile_edge; ++c) {
            const int slot = row_of_tile * lattice_.tile_edge + c;
            if (selected.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
            const int column =
                window_.column_of(lattice_, point_in_tile(lattice_, selected.address, slot).column);
            const std::size_t place = static_cast<std::size_t>(window_row % kChunkRows) * columns +
                                      static_cast<std::size_t>(column);
            for (std::size_t v = 0; v < job_.variables.size(); ++v) {
                const Layer& layer = job_.variables[v];
                const int planes = layer.shape == LayerShape::point ? 1 : kMonths;
                for (int plane = 0; plane < planes; ++plane) {
                    chunk
                        .values[v][static_cast<std::size_t>(plane) * kChunkRows * columns + place] =
                        value_at(selected.tile, layer, slot, plane);
                }
            }
        }
    }

    const ExportJob& job_;
    const Lattice& lattice_;
    LatticeWindow window_;
    std::vector<int> variables_;
};

}  // namespace

Result<void> export_netcdf(const ExportJob& job) {
    return NetcdfExport(job, job.lattices.front()).write();
}

}  // namespace thirstline
