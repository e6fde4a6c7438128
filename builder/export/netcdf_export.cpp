#include <cpl_conv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>

#include "builder/export/climatology_time.hpp"
#include "builder/export/format_writers.hpp"
#include "builder/export/netcdf_file.hpp"
#include "builder/export/staged_files.hpp"
#include "schema/database/whole_tables.hpp"

namespace thirstline {

namespace {

/// Maximum size of a variable in the classic format with 64-bit offsets.
constexpr std::int64_t kMaxBytes = std::int64_t{1} << 32;

/// The CF names of a layer. A flux of a kilogram of water per square metre is a millimetre.
struct CfNames {
    const char* standard_name;
    const char* units;
    const char* cell_methods;
    const char* ancillary_variables;
};

CfNames cf_names(const RasterVariable& variable) {
    // A kilogram of water per square metre is a millimetre.
    if (variable.kind == RasterVariable::Kind::rain_minus_eto)
        return {"", "mm", "time: sum within years time: mean over years",
                "eto_se_mm rain_se method period"};
    const bool is_total = variable.kind == RasterVariable::Kind::month_total;
    if (is_total && variable.stored.id == LayerId::eto)
        return {"water_potential_evaporation_amount", "kg m-2",
                "time: sum within years time: mean over years", "eto_se_mm method period"};
    if (is_total) return {"water_potential_evaporation_amount standard_error", "kg m-2", "", ""};
    switch (variable.stored.id) {
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

/// A text as one word, for a list of flag meanings (CF section 3.5).
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
        // The bounds span the years of all kinds. Sources may describe their period in words.
        auto years = years_of_period(job_.provenance.period);
        if (!years) years = years_of_period(job_.database.metadata("period"));
        if (!years) {
            return fail(ErrorCode::bad_input,
                        "the baseline's period \"" + job_.provenance.period +
                            "\" names no years, and a netCDF climatology needs them",
                        "build it with a period such as 1991-2020, or use another format");
        }
        const auto window = TRY(window_of(job_, lattice_));
        if (window.rows == 0) return fail(nothing_selected(job_));
        window_ = window;
        auto staged = TRY(StagedFiles::beside(job_.output));
        const bool is_large =
            std::int64_t{4} * kMonths * window_.rows * window_.columns >= kMaxBytes;
        NetcdfFile file(staged.path("climatology.nc"), job_.output, is_large);
        TRY(write_into(file, *years));
        TRY(file.finish());
        return staged.place("climatology.nc", job_.output);
    }

  private:
    Result<void> write_into(NetcdfFile& file, YearRange years) {
        const int time = file.add_dimension("time", kMonths);
        const int lat = file.add_dimension("lat", static_cast<std::size_t>(window_.rows));
        const int lon = file.add_dimension("lon", static_cast<std::size_t>(window_.columns));
        const int bounds = file.add_dimension("bounds", 2);
        const ClimatologyTime months = climatology_time(years);
        const Axes axes = define_axes(file, {time, lat, lon, bounds}, months);
        define_crs(file);
        for (const RasterVariable& variable : job_.raster_variables)
            TRY(define(file, variable, time, lat, lon));
        set_globals(file);
        file.end_definitions();
        write_axes(file, axes, months);
        return write_values(file);
    }

    /// WGS 84, as attributes of CF section 5.6 and as WKT.
    static void define_crs(NetcdfFile& file) {
        const int crs = file.add_scalar("crs");
        file.set_text(crs, "grid_mapping_name", "latitude_longitude");
        file.set_text(crs, "long_name", "WGS 84, EPSG:4326");
        file.set_text(crs, "geographic_crs_name", "WGS 84");
        file.set_text(crs, "horizontal_datum_name", "World Geodetic System 1984");
        file.set_text(crs, "reference_ellipsoid_name", "WGS 84");
        file.set_text(crs, "prime_meridian_name", "Greenwich");
        file.set_double(crs, "semi_major_axis", 6378137.0);
        file.set_double(crs, "inverse_flattening", 298.257223563);
        file.set_double(crs, "longitude_of_prime_meridian", 0.0);
        OGRSpatialReference wgs84;
        wgs84.importFromEPSG(4326);
        const char* const as_wkt2[] = {"FORMAT=WKT2_2019", nullptr};
        char* wkt = nullptr;
        if (wgs84.exportToWkt(&wkt, as_wkt2) == OGRERR_NONE) file.set_text(crs, "crs_wkt", wkt);
        CPLFree(wkt);
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
        // Cells end at the poles; longitudes may continue past 180°.
        write_axis(axes.lat, axes.lat_bounds, lattice_.south_arcsec + window_.first_row * spacing,
                   window_.rows, 90.0 * kArcsecPerDegree);
        write_axis(axes.lon, axes.lon_bounds, lattice_.west_arcsec + window_.first_column * spacing,
                   window_.columns, 3.0 * kArcsecPerCircle);
    }

    Result<void> define(NetcdfFile& file, const RasterVariable& variable, int time, int lat,
                        int lon) {
        const Layer& layer = variable.written;
        std::vector<int> dimensions{lat, lon};
        if (layer.shape == LayerShape::point_month) dimensions.insert(dimensions.begin(), time);
        const bool fits = window_.fits_16_bits[variables_.size()];
        const int id = file.add_integer_variable(std::string(layer.name), dimensions,
                                                 fits ? 16 : 32, missing_of(variables_.size()));
        variables_.push_back(id);
        const CfNames names = cf_names(variable);
        file.set_text(id, "standard_name", names.standard_name);
        file.set_text(id, "long_name", variable_title(variable, job_.provenance));
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
        const auto flags = TRY(layer.id == LayerId::method ? method_flags() : period_flags());
        if (flags.values.empty()) return {};
        file.set_integers(id, "flag_values", flags.values);
        file.set_text(id, "flag_meanings", flags.meanings);
        return {};
    }

    std::string those_written(std::string_view names) const {
        std::string written;
        while (!names.empty()) {
            const std::size_t blank = std::min(names.find(' '), names.size());
            const std::string_view name = names.substr(0, blank);
            names.remove_prefix(std::min(blank + 1, names.size()));
            const bool is_written = std::ranges::any_of(
                job_.raster_variables,
                [name](const RasterVariable& each) { return each.written.name == name; });
            if (!is_written) continue;
            written += (written.empty() ? "" : " ") + std::string(name);
        }
        return written;
    }

    Result<Flags> method_flags() const {
        const auto methods = TRY(method_rows(job_.database));
        Flags flags;
        for (const MethodRow& method : methods) {
            flags.add(method.code, method.name + " " + method.note + " site correction " +
                                       method.site_correction);
        }
        return flags;
    }

    Result<Flags> period_flags() const {
        const auto periods = TRY(period_rows(job_.database));
        Flags flags;
        for (const PeriodRow& period : periods) flags.add(period.id, period.text);
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
        file.set_global_text(
            "license", provenance.edition.licence.empty()
                           ? licences(provenance)
                           : provenance.edition.licence + "; sources: " + licences(provenance));
        file.set_global_text("attribution", attributions(provenance));
        // Attribute Convention for Data Discovery 1.3.
        file.set_global_text("product_version", provenance.edition.edition);
        file.set_global_text("date_issued", provenance.edition.date);
        file.set_global_text("id", provenance.edition.doi);
        file.set_global_text("naming_authority", provenance.edition.doi.empty() ? "" : "org.doi");
        file.set_global_text("publisher_name", provenance.publisher);
        file.set_global_text(provenance.edition.contact.find("://") == std::string::npos
                                 ? "publisher_email"
                                 : "publisher_url",
                             provenance.edition.contact);
        file.set_global_text("comment", provenance.notice);
        file.set_global_text("region", provenance.region);
        file.set_global_text("period", provenance.period);
        file.set_global_text("selection", provenance.selection);
        file.set_global_text("history", "written by " + provenance.program +
                                            " from a database of content SHA-256 " +
                                            provenance.content_sha256);
    }

    /// The fill value of a variable.
    std::int32_t missing_of(std::size_t variable) const {
        return window_.fits_16_bits[variable] ? kMissing16 : kMissingValue;
    }

    Result<void> write_values(NetcdfFile& file) const {
        const SelectedTiles::Rows rows = job_.tiles.tile_rows(lattice_);
        for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
            const auto tiles = TRY(job_.tiles.row(lattice_, tile_row));
            const int first = point_in_tile(lattice_, {tile_row, 0}, 0).row - window_.first_row;
            const int south = std::max(first, 0);
            const int north = std::min(first + lattice_.tile_edge, window_.rows);
            if (south >= north) continue;
            for (std::size_t v = 0; v < job_.raster_variables.size(); ++v)
                write_rows(file, v, tiles, south, north);
            TRY(file.so_far());
        }
        return {};
    }

    /// Writes a variable in the window's rows from `south` up to but not including `north`: all of
    /// them are in the given tiles.
    void write_rows(NetcdfFile& file, std::size_t variable, const std::vector<SelectedTile>& tiles,
                    int south, int north) const {
        const RasterVariable& written = job_.raster_variables[variable];
        const bool is_monthly = written.stored.shape == LayerShape::point_month;
        const int months = is_monthly ? kMonths : 1;
        const auto columns = static_cast<std::size_t>(window_.columns);
        const auto count = static_cast<std::size_t>(north - south);
        std::vector<std::int32_t> values(static_cast<std::size_t>(months) * count * columns,
                                         missing_of(variable));
        for (const SelectedTile& selected : tiles) {
            for (int slot = 0; slot < lattice_.tile_edge * lattice_.tile_edge; ++slot) {
                if (selected.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
                const LatticePoint point = point_in_tile(lattice_, selected.address, slot);
                const auto row = static_cast<std::size_t>(point.row - window_.first_row - south);
                const auto column =
                    static_cast<std::size_t>(window_.column_of(lattice_, point.column));
                for (int month = 0; month < months; ++month) {
                    const std::int32_t value = raster_value(selected.tile, written, slot, month);
                    if (value == kMissingValue) continue;
                    values[(static_cast<std::size_t>(month) * count + row) * columns + column] =
                        value;
                }
            }
        }
        const std::size_t start[] = {0, static_cast<std::size_t>(south), 0};
        const std::size_t counts[] = {kMonths, count, columns};
        const std::size_t skipped = is_monthly ? 0 : 1;
        file.write(variables_[variable], std::span(start).subspan(skipped),
                   std::span(counts).subspan(skipped), values);
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
