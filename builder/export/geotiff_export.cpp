#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <functional>

#include "builder/export/format_writers.hpp"
#include "builder/export/staged_files.hpp"
#include "builder/grids/gdal_messages.hpp"

namespace thirstline {

namespace {

// All bands of a block are decompressed together, so blocks are smaller than those of a picture.
constexpr const char* kBlockEdge = "128";

int bands_of(const RasterVariable& variable) {
    return variable.stored.shape == LayerShape::point ? 1 : kMonths;
}

int CPL_STDCALL go_on_unless_interrupted(double /*done*/, const char* /*message*/, void* flag) {
    return static_cast<const std::atomic<bool>*>(flag)->load() ? 0 : 1;
}

class GeotiffExport {
  public:
    GeotiffExport(const ExportJob& job, const Lattice& lattice) : job_(job), lattice_(lattice) {
        for (const RasterVariable& variable : job.raster_variables) bands_ += bands_of(variable);
    }

    /// First a plain raster, filled from south to north in the order of the tiles; from it the
    /// cloud-optimised one, whose overviews precede the full resolution.
    Result<void> write() {
        const auto window = TRY(window_of(job_, lattice_));
        if (window.rows == 0) return fail(nothing_selected(job_));
        window_ = window;
        fits_16_bits_ = std::ranges::all_of(window_.fits_16_bits, std::identity());
        missing_ = fits_16_bits_ ? kMissing16 : kMissingValue;
        auto staged = TRY(StagedFiles::beside(job_.output));
        TRY(write_plain(staged.path("plain.tif")));
        TRY(write_optimised(staged.path("plain.tif"), staged.path("optimised.tif")));
        return staged.place("optimised.tif", job_.output);
    }

  private:
    Result<void> check(const GdalMessages& messages, bool succeeded) const {
        if (job_.interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
        if (succeeded && messages.first_failure().empty()) return {};
        return fail(ErrorCode::io, "writing " + job_.output + " failed" + messages.after_colon());
    }

    Result<void> write_plain(const std::string& path) {
        const GdalMessages messages;
        CPLStringList options;
        options.SetNameValue("INTERLEAVE", "PIXEL");
        options.SetNameValue("COMPRESS", "DEFLATE");
        options.SetNameValue("ZLEVEL", "1");
        options.SetNameValue("BLOCKYSIZE", std::to_string(lattice_.tile_edge).c_str());
        options.SetNameValue("SPARSE_OK", "TRUE");
        options.SetNameValue("BIGTIFF", "IF_SAFER");
        GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
        GDALDatasetUniquePtr raster(driver->Create(path.c_str(), window_.columns, window_.rows,
                                                   bands_, fits_16_bits_ ? GDT_Int16 : GDT_Int32,
                                                   options.List()));
        if (!raster) return check(messages, false);
        describe(*raster);
        const SelectedTiles::Rows rows = job_.tiles.tile_rows(lattice_);
        for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
            const auto tiles = TRY(job_.tiles.row(lattice_, tile_row));
            if (tiles.empty()) continue;
            TRY(check(messages, fill_row(*raster, tile_row, tiles)));
        }
        raster.reset();
        return check(messages, true);
    }

    /// The points of a row of tiles, all bands of each point together.
    bool fill_row(GDALDataset& raster, int tile_row, const std::vector<SelectedTile>& tiles) const {
        const int tile_south = point_in_tile(lattice_, {tile_row, 0}, 0).row;
        const int south = std::max(tile_south, window_.first_row);
        const int north =
            std::min(tile_south + lattice_.tile_edge, window_.first_row + window_.rows) - 1;
        const auto columns = static_cast<std::size_t>(window_.columns);
        const auto bands = static_cast<std::size_t>(bands_);
        std::vector<std::int32_t> pixels(
            static_cast<std::size_t>(north - south + 1) * columns * bands, missing_);
        for (const SelectedTile& selected : tiles) {
            for (int slot = 0; slot < lattice_.tile_edge * lattice_.tile_edge; ++slot) {
                if (selected.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
                const LatticePoint point = point_in_tile(lattice_, selected.address, slot);
                const auto line = static_cast<std::size_t>(north - point.row);
                const auto column =
                    static_cast<std::size_t>(window_.column_of(lattice_, point.column));
                std::size_t pixel = (line * columns + column) * bands;
                for (const RasterVariable& variable : job_.raster_variables) {
                    for (int band = 0; band < bands_of(variable); ++band) {
                        const std::int32_t value =
                            raster_value(selected.tile, variable, slot, band);
                        pixels[pixel++] = value == kMissingValue ? missing_ : value;
                    }
                }
            }
        }
        const auto pixel_bytes = static_cast<GSpacing>(bands * sizeof(std::int32_t));
        const int lines = north - south + 1;
        return raster.RasterIO(GF_Write, 0, window_.first_row + window_.rows - 1 - north,
                               window_.columns, lines, pixels.data(), window_.columns, lines,
                               GDT_Int32, bands_, nullptr, pixel_bytes,
                               pixel_bytes * window_.columns, sizeof(std::int32_t),
                               nullptr) == CE_None;
    }

    void describe(GDALDataset& raster) const {
        const double spacing = static_cast<double>(lattice_.spacing_arcsec) / kArcsecPerDegree;
        const double west = (lattice_.west_arcsec +
                             static_cast<double>(window_.first_column) * lattice_.spacing_arcsec) /
                            kArcsecPerDegree;
        const LatLon north_row =
            position_of(lattice_, {window_.first_row + window_.rows - 1, window_.first_column});
        // Lattice points are the centers of pixels.
        double corner[6] = {
            west - spacing / 2, spacing, 0.0, north_row.lat_deg + spacing / 2, 0.0, -spacing};
        raster.SetGeoTransform(corner);
        OGRSpatialReference wgs84;
        wgs84.importFromEPSG(4326);
        raster.SetSpatialRef(&wgs84);
        describe_provenance(raster);
        int band = 0;
        for (const RasterVariable& variable : job_.raster_variables) {
            for (int month = 0; month < bands_of(variable); ++month)
                describe_band(*raster.GetRasterBand(++band), variable, month);
        }
    }

    void describe_provenance(GDALDataset& raster) const {
        const Provenance& provenance = job_.provenance;
        const auto item = [&raster](const std::string& name, const std::string& value) {
            raster.SetMetadataItem(name.c_str(), value.c_str());
        };
        for (const auto& [name, value] : provenance_items(provenance)) item(name, value);
        item("TIFFTAG_IMAGEDESCRIPTION", provenance.title);
        item("TIFFTAG_COPYRIGHT", attributions(provenance) + ". " + licences(provenance));
        item("TIFFTAG_SOFTWARE", provenance.program);
        for (std::size_t s = 0; s < provenance.sources.size(); ++s)
            item("SOURCE_" + std::to_string(s + 1), source_line(provenance.sources[s]));
    }

    void describe_band(GDALRasterBand& band, const RasterVariable& variable, int month) const {
        const Layer& layer = variable.written;
        const bool is_monthly = layer.shape == LayerShape::point_month;
        const std::string name(layer.name);
        const std::string month_name(kMonthNames[static_cast<std::size_t>(month)]);
        band.SetDescription((is_monthly ? name + " " + month_name : name).c_str());
        band.SetUnitType(std::string(layer.unit).c_str());
        band.SetNoDataValue(missing_);
        band.SetScale(1.0 / layer.divisor);
        band.SetOffset(0.0);
        band.SetMetadataItem("VARIABLE", name.c_str());
        band.SetMetadataItem("LONG_NAME", variable_title(variable, job_.provenance).c_str());
        if (is_monthly) band.SetMetadataItem("MONTH", std::to_string(month + 1).c_str());
    }

    Result<void> write_optimised(const std::string& plain, const std::string& path) const {
        const GdalMessages messages;
        GDALDatasetUniquePtr raster(
            GDALDataset::Open(plain.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY));
        if (!raster) return check(messages, false);
        CPLStringList options;
        options.SetNameValue("COMPRESS", "DEFLATE");
        options.SetNameValue("PREDICTOR", "YES");
        options.SetNameValue("BLOCKSIZE", kBlockEdge);
        // The mean of several method codes has no meaning.
        options.SetNameValue("OVERVIEW_RESAMPLING", "NEAREST");
        options.SetNameValue("BIGTIFF", "IF_SAFER");
        GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("COG");
        GDALDatasetUniquePtr optimised(driver->CreateCopy(
            path.c_str(), raster.get(), FALSE, options.List(), go_on_unless_interrupted,
            const_cast<std::atomic<bool>*>(&job_.interrupted)));
        const bool is_made = optimised != nullptr;
        optimised.reset();
        return check(messages, is_made);
    }

    const ExportJob& job_;
    const Lattice& lattice_;
    LatticeWindow window_;
    int bands_ = 0;
    bool fits_16_bits_ = false;  ///< all values of all bands, which have a common type
    std::int32_t missing_ = kMissingValue;
};

}  // namespace

Result<void> export_geotiff(const ExportJob& job) {
    return GeotiffExport(job, job.lattices.front()).write();
}

}  // namespace thirstline
