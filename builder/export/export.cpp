#include "builder/export/export.hpp"

#include <algorithm>

#include "schema/base/words.hpp"

namespace thirstline {

namespace {

/// Slopes of wet and dry years mean something only with the rule of FORMAT.md, section 6, which
/// other formats do not carry.
bool is_of_years(LayerId id) {
    return id == LayerId::eto_year_slope || id == LayerId::rain_year_slope ||
           id == LayerId::normals_deviate || id == LayerId::year_slope_se;
}

Result<void> check_names(const std::vector<std::string>& names,
                         const std::vector<std::string>& known, const ExportFormat& format) {
    for (const std::string& name : names) {
        if (std::ranges::find(known, name) != known.end()) continue;
        return fail(ErrorCode::usage, "--variables must be of " + joined(known) + " for " +
                                          std::string(format.name) + ", not " + in_quotes(name));
    }
    return {};
}

/// Layers of points, the only ones that other formats can contain. For rasters all of them.
Result<std::vector<Layer>> chosen_variables(const Database& database, const ExportFormat& format,
                                            const std::vector<std::string>& names) {
    std::vector<Layer> all;
    std::vector<std::string> all_names;
    for (const Layer& layer : database.layout().layers) {
        if (!is_known(layer.id) || layer.shape == LayerShape::tile_month) continue;
        if (is_of_years(layer.id)) continue;
        if (format.holds != nullptr && !format.holds(layer.id)) continue;
        all.push_back(layer);
        all_names.emplace_back(layer.name);
    }
    if (format.is_raster) return all;
    if (names.empty()) {
        if (format.is_default_layer != nullptr)
            std::erase_if(all,
                          [&](const Layer& layer) { return !format.is_default_layer(layer.id); });
        return all;
    }
    TRY(check_names(names, all_names, format));
    std::erase_if(all, [&names](const Layer& layer) {
        return std::ranges::find(names, layer.name) == names.end();
    });
    return all;
}

/// Values are adjusted from the elevation of the points.
Result<void> add_elevation(const Database& database, const ExportFormat& format,
                           std::vector<Layer>& variables) {
    if (!format.is_image) {
        return fail(ErrorCode::usage, "--gradients is not valid with --as " +
                                          std::string(format.name) + ", only with --as image");
    }
    const TileLayout& layout = database.layout();
    const Layer* elevation = layout.find(LayerId::elevation);
    if (elevation == nullptr || layout.find(LayerId::eto_gradient) == nullptr) {
        return fail(ErrorCode::usage,
                    database.path() + " has no changes with elevation for --gradients");
    }
    if (layout.elevation_adjustment != ElevationAdjustment::bounded) {
        return fail(ErrorCode::usage,
                    database.path() +
                        " is from before format 1.2, and images have no such rule "
                        "for elevations",
                    "build it again, or leave out --gradients");
    }
    if (std::ranges::find(variables, LayerId::elevation, &Layer::id) == variables.end())
        variables.push_back(*elevation);
    return {};
}

Result<std::vector<RasterVariable>> chosen_raster_variables(const std::vector<Layer>& layers,
                                                            const ExportFormat& format,
                                                            const std::vector<std::string>& names) {
    std::vector<RasterVariable> all = raster_variables(layers);
    if (names.empty()) {
        std::erase_if(all, [](const RasterVariable& variable) { return !variable.is_default; });
        return all;
    }
    std::vector<std::string> known;
    for (const RasterVariable& variable : all) known.emplace_back(variable.written.name);
    TRY(check_names(names, known, format));
    std::erase_if(all, [&names](const RasterVariable& variable) {
        return std::ranges::find(names, variable.written.name) == names.end();
    });
    return all;
}

Result<std::vector<Lattice>> chosen_lattices(const Database& database, const ExportFormat& format,
                                             std::optional<int> id) {
    const std::vector<Lattice>& all = database.lattices();
    std::vector<std::string> ids;
    for (const Lattice& lattice : all) {
        if (id == lattice.id) return std::vector{lattice};
        ids.push_back(std::to_string(lattice.id));
    }
    if (id) {
        return fail(ErrorCode::usage, database.path() + " has no lattice " + std::to_string(*id) +
                                          "; it has " + joined(ids));
    }
    if (format.is_raster && all.size() > 1) {
        return fail(ErrorCode::usage,
                    std::string(format.name) + " holds one lattice, and " + database.path() +
                        " has several: " + joined(ids),
                    "choose one with --lattice; the command info lists them");
    }
    return all;
}

}  // namespace

Result<void> run_export(Database& database, const ExportFormat& format,
                        const ExportOptions& options, const std::atomic<bool>& interrupted) {
    if (format.is_database && (!options.variables.empty() || options.lattice_id)) {
        return fail(ErrorCode::usage, "--variables and --lattice are not valid with --as " +
                                          std::string(format.name) + ", which keeps all of them");
    }
    if (options.page_bytes != 0 && !format.is_image) {
        return fail(ErrorCode::usage, "--page-bytes is not valid with --as " +
                                          std::string(format.name) + ", only with --as image");
    }
    auto variables = TRY(chosen_variables(database, format, options.variables));
    if (options.with_gradients) TRY(add_elevation(database, format, variables));
    std::vector<RasterVariable> of_rasters;
    if (format.is_raster)
        of_rasters = TRY(chosen_raster_variables(variables, format, options.variables));
    auto lattices = TRY(chosen_lattices(database, format, options.lattice_id));
    const auto selection = TRY(SiteSelection::make(options.selection, database));
    auto provenance = TRY(provenance_of(database, selection.description()));
    const PointsWanted wanted =
        format.keeps_neighbours ? PointsWanted::that_answer_for_it : PointsWanted::of_the_selection;
    const auto tiles = TRY(SelectedTiles::make(database, selection, wanted, interrupted));
    return format.write({database, selection, tiles, std::move(lattices), std::move(variables),
                         std::move(provenance), options.output, interrupted, std::move(of_rasters),
                         options.page_bytes, options.with_gradients});
}

}  // namespace thirstline
