#include <cpl_conv.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "builder/export/format_writers.hpp"
#include "builder/export/staged_files.hpp"
#include "builder/grids/gdal_messages.hpp"
#include "schema/database/whole_tables.hpp"

namespace thirstline {

namespace {

// A GeoPackage contains its date of change; fixed, so that the same content gives the same bytes.
constexpr const char* kNoDate = "1970-01-01T00:00:00.000Z";
constexpr double kDecimalsKept = 1e4;

/// Sets an option of this thread's GDAL during its lifetime.
class GdalOption {
  public:
    GdalOption(const char* name, const char* value) : name_(name) {
        CPLSetThreadLocalConfigOption(name, value);
    }
    ~GdalOption() { CPLSetThreadLocalConfigOption(name_, nullptr); }
    GdalOption(const GdalOption&) = delete;
    GdalOption& operator=(const GdalOption&) = delete;

  private:
    const char* name_;
};

/// Column names of a variable, before the month's two digits, and the meaning of the columns.
struct ColumnKind {
    const char* name;
    bool is_month_total;  ///< stored per day, written as the month's sum
};

ColumnKind column_kind(LayerId id) {
    switch (id) {
        case LayerId::eto:
            return {"eto_mm", true};
        case LayerId::eto_se:
            return {"eto_se_mm", true};
        case LayerId::rain:
            return {"rain_mm", false};
        case LayerId::rain_se:
            return {"rain_se_mm", false};
        case LayerId::tmax:
            return {"tmax_c", false};
        case LayerId::tmin:
            return {"tmin_c", false};
        case LayerId::elevation:
            return {"elevation_m", false};
        default:
            return {"", false};
    }
}

class GeopackageExport {
  public:
    explicit GeopackageExport(const ExportJob& job) : job_(job) {}

    Result<void> write() {
        auto staged = TRY(StagedFiles::beside(job_.output));
        TRY(write_to(staged.path("export.gpkg")));
        return staged.place("export.gpkg", job_.output);
    }

  private:
    Result<void> write_to(const std::string& path) {
        const GdalMessages messages;
        const GdalOption date("OGR_CURRENT_DATE", kNoDate);
        // An unfinished file is discarded, and a finished one is synced before it becomes visible.
        const GdalOption no_syncing("OGR_SQLITE_SYNCHRONOUS", "OFF");
        GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
        GDALDatasetUniquePtr package(driver->Create(path.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
        if (!package) return check(messages, false);
        bool good = package->StartTransaction() == OGRERR_NONE;
        using Part = Result<void> (GeopackageExport::*)(GDALDataset&, bool&);
        for (const Part part :
             {&GeopackageExport::write_points, &GeopackageExport::write_postal_codes,
              &GeopackageExport::write_stations, &GeopackageExport::write_sources}) {
            TRY((this->*part)(*package, good));
            TRY(check(messages, good));
        }
        describe(*package);
        good = package->CommitTransaction() == OGRERR_NONE && good;
        package.reset();
        return check(messages, good);
    }

    Result<void> check(const GdalMessages& messages, bool good) const {
        if (job_.interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
        if (good && messages.first_failure().empty()) return {};
        return fail(ErrorCode::io, "writing " + job_.output + " failed" + messages.after_colon());
    }

    static OGRLayer* layer_in(GDALDataset& package, const char* name, const std::string& title,
                              const std::string& description, OGRwkbGeometryType type) {
        OGRSpatialReference wgs84;
        wgs84.importFromEPSG(4326);
        wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        CPLStringList options;
        options.SetNameValue("IDENTIFIER", title.c_str());
        options.SetNameValue("DESCRIPTION", description.c_str());
        return package.CreateLayer(name, type == wkbNone ? nullptr : &wgs84, type, options.List());
    }

    static void add_field(OGRLayer& layer, const std::string& name, OGRFieldType type, bool& good) {
        OGRFieldDefn field(name.c_str(), type);
        good = good && layer.CreateField(&field) == OGRERR_NONE;
    }

    Result<void> write_points(GDALDataset& package, bool& good) {
        const Provenance& provenance = job_.provenance;
        OGRLayer* layer =
            layer_in(package, "points", provenance.title + ": points", provenance.notice, wkbPoint);
        if (layer == nullptr) {
            good = false;
            return {};
        }
        define_points(*layer, good);
        TRY(read_dictionaries());
        std::int64_t points = 0;
        for (const Lattice& lattice : job_.lattices) {
            const SelectedTiles::Rows rows = job_.tiles.tile_rows(lattice);
            for (int tile_row = rows.first; good && tile_row <= rows.last; ++tile_row) {
                const auto tiles = TRY(job_.tiles.row(lattice, tile_row));
                for (const SelectedTile& selected : tiles) {
                    for (int slot = 0; slot < job_.database.layout().slots(); ++slot) {
                        if (selected.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
                        ++points;
                        add_point(*layer, lattice, selected, slot, good);
                    }
                }
            }
        }
        if (points > 0 || !good) return {};
        return fail(nothing_selected(job_));
    }

    void define_points(OGRLayer& layer, bool& good) const {
        add_field(layer, "lattice", OFTInteger, good);
        for (const Layer& variable : job_.variables) {
            if (variable.id == LayerId::method || variable.id == LayerId::period) {
                add_field(layer, std::string(variable.name), OFTString, good);
                continue;
            }
            const std::string name = column_kind(variable.id).name;
            if (variable.shape == LayerShape::point) add_field(layer, name, OFTReal, good);
            for (int month = 0; variable.shape == LayerShape::point_month && month < kMonths;
                 ++month) {
                add_field(layer, name + (month < 9 ? "_0" : "_") + std::to_string(month + 1),
                          OFTReal, good);
            }
        }
    }

    Result<void> read_dictionaries() {
        const auto methods = TRY(method_rows(job_.database));
        for (const MethodRow& method : methods) {
            methods_[method.code] =
                on_one_line(method.name + (method.note.empty() ? "" : ": " + method.note));
        }
        const auto periods = TRY(period_rows(job_.database));
        for (const PeriodRow& period : periods) periods_[period.id] = on_one_line(period.text);
        return {};
    }

    static void set_place(OGRFeature& feature, LatLonE7 position) {
        const LatLon place = to_degrees(position);
        OGRPoint point(place.lon_deg, place.lat_deg);
        feature.SetGeometry(&point);
    }

    void add_point(OGRLayer& layer, const Lattice& lattice, const SelectedTile& selected, int slot,
                   bool& good) const {
        OGRFeature feature(layer.GetLayerDefn());
        set_place(feature, position_e7_of(lattice, point_in_tile(lattice, selected.address, slot)));
        int field = 0;
        feature.SetField(field++, lattice.id);
        for (const Layer& variable : job_.variables) {
            if (variable.id == LayerId::method) {
                // The least trusted of the months' methods has the largest code.
                std::int32_t code = kMissingValue;
                for (int month = 0; month < kMonths; ++month)
                    code = std::max(code, value_at(selected.tile, variable, slot, month));
                set_text_of(feature, field++, methods_, code);
                continue;
            }
            if (variable.id == LayerId::period) {
                set_text_of(feature, field++, periods_, value_at(selected.tile, variable, slot, 0));
                continue;
            }
            const int months = variable.shape == LayerShape::point ? 1 : kMonths;
            for (int month = 0; month < months; ++month) {
                set_number(feature, field++, variable,
                           value_at(selected.tile, variable, slot, month), month);
            }
        }
        good = good && layer.CreateFeature(&feature) == OGRERR_NONE;
    }

    static void set_text_of(OGRFeature& feature, int field,
                            const std::map<std::int32_t, std::string>& texts, std::int32_t key) {
        if (const auto found = texts.find(key); found != texts.end())
            feature.SetField(field, found->second.c_str());
    }

    static void set_number(OGRFeature& feature, int field, const Layer& layer, std::int32_t value,
                           int month) {
        if (value == kMissingValue) return;
        const double days = column_kind(layer.id).is_month_total
                                ? kDaysInMonth[static_cast<std::size_t>(month)]
                                : 1.0;
        feature.SetField(field,
                         std::round(value * days * kDecimalsKept / layer.divisor) / kDecimalsKept);
    }

    Result<void> write_postal_codes(GDALDataset& package, bool& good) {
        OGRLayer* layer =
            layer_in(package, "postal_codes", job_.provenance.title + ": postal codes",
                     "Centroids of postal codes", wkbPoint);
        if (layer == nullptr) {
            good = false;
            return {};
        }
        for (const char* name : {"code", "country", "place"})
            add_field(*layer, name, OFTString, good);
        return for_each_selected_place(job_, [&](const PostalPlace& place) -> Result<void> {
            OGRFeature feature(layer->GetLayerDefn());
            set_place(feature, place.position);
            feature.SetField(0, place.code.c_str());
            feature.SetField(1, place.country.c_str());
            feature.SetField(2, on_one_line(place.place).c_str());
            good = good && layer->CreateFeature(&feature) == OGRERR_NONE;
            return {};
        });
    }

    /// The stations behind the numbers; a file made from grids alone has no such layer.
    Result<void> write_stations(GDALDataset& package, bool& good) {
        const auto stations = TRY(job_.database.stations());
        if (stations.empty()) return {};
        OGRLayer* layer = layer_in(package, "stations", job_.provenance.title + ": stations",
                                   "Stations that were used, with their variables", wkbPoint);
        if (layer == nullptr) {
            good = false;
            return {};
        }
        for (const char* name : {"name", "country", "variables", "period", "source"})
            add_field(*layer, name, OFTString, good);
        add_field(*layer, "elevation_m", OFTInteger, good);
        for (const StationRecord& station : stations) {
            if (!job_.selection.holds(station.position)) continue;
            OGRFeature feature(layer->GetLayerDefn());
            set_place(feature, station.position);
            int field = 0;
            for (const std::string* text : {&station.name, &station.country, &station.variables,
                                            &station.period, &station.source})
                feature.SetField(field++, on_one_line(*text).c_str());
            feature.SetField(field, station.elevation_m);
            good = good && layer->CreateFeature(&feature) == OGRERR_NONE;
        }
        return {};
    }

    /// A table without geometry: the sources, with their terms.
    Result<void> write_sources(GDALDataset& package, bool& good) {
        OGRLayer* layer = layer_in(package, "sources", job_.provenance.title + ": sources",
                                   "Sources of the numbers, with their terms", wkbNone);
        if (layer == nullptr) {
            good = false;
            return {};
        }
        for (const char* name : {"variable", "name", "period", "licence", "attribution", "url"})
            add_field(*layer, name, OFTString, good);
        for (const Source& source : job_.provenance.sources) {
            OGRFeature feature(layer->GetLayerDefn());
            int field = 0;
            for (const std::string* text : {&source.variable, &source.name, &source.period,
                                            &source.licence, &source.attribution, &source.url})
                feature.SetField(field++, text->c_str());
            good = good && layer->CreateFeature(&feature) == OGRERR_NONE;
        }
        return {};
    }

    void describe(GDALDataset& package) const {
        for (const auto& [name, value] : provenance_items(job_.provenance))
            package.SetMetadataItem(name.c_str(), value.c_str());
    }

    const ExportJob& job_;
    std::map<std::int32_t, std::string> methods_;
    std::map<std::int32_t, std::string> periods_;
};

}  // namespace

Result<void> export_geopackage(const ExportJob& job) {
    return GeopackageExport(job).write();
}

}  // namespace thirstline
