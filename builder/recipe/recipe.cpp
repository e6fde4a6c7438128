#include "builder/recipe/recipe.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include "builder/grids/month_pattern.hpp"
#include "builder/recipe/edition_texts.hpp"
#include "builder/recipe/recipe_records.hpp"
#include "builder/recipe/recipe_stations.hpp"
#include "builder/recipe/recipe_table.hpp"
#include "builder/recipe/table_keys.hpp"
#include "schema/base/nearest_name.hpp"
#include "schema/database/postal_codes.hpp"
#include "schema/files/toml_file.hpp"

namespace thirstline {

namespace {

constexpr double kGreatestReachKm = 20'000.0;

std::string doi_of(RecipeTable& table) {
    const std::string text = table.text("doi");
    if (text.empty()) return {};
    const auto doi = normal_doi(text);
    if (!doi)
        table.fail_at("doi", "the key \"doi\" of [baseline] must be a DOI such as 10.1234/abcd");
    return doi.value_or("");
}

void read_baseline(RecipeTable table, Recipe& recipe) {
    recipe.title = table.required_text("title", "\"Reference ET and rain of the valley\"");
    recipe.region = table.text("region");
    recipe.publisher = table.text("publisher");
    recipe.notice = table.text("notice");
    recipe.edition = {table.text("edition"), table.date("date"), doi_of(table),
                      table.text("contact"), table.text("licence")};
    recipe.reference = reference_of_name(table.choice("reference", {"short", "tall"}, "short"));
    recipe.site_correction =
        table.choice("site_correction", {"reference", "none"}, "reference") == "reference";
    if (table.choice("soil_heat_flux", {"none", "monthly"}, "none") == "monthly")
        recipe.soil_heat = SoilHeat::monthly;
    recipe.period = table.required_text("period", "\"1991-2020\"");
    table.refuse_other_keys();
}

void read_lattice(RecipeTable table, Recipe& recipe) {
    const double spacing = table.required_number("spacing_arcsec", "900", 1, 36'000);
    const std::vector<double> box =
        table.required_numbers("bbox", 4, "[-125.0, 24.0, -66.0, 50.0]");
    const double reach_km = table.number("reach_km", 50.0, 0.0, kGreatestReachKm);
    recipe.station_margin_km =
        table.number("station_margin_km", kStationMarginKm, 0.0, kLargestMarginKm);
    table.refuse_other_keys();

    std::int32_t edges[4] = {};
    for (std::size_t i = 0; i < 4; ++i) {
        const double arcsec = box[i] * kArcsecPerDegree;
        if (std::abs(box[i]) > 360.0 || std::abs(arcsec - std::round(arcsec)) > 1e-6) {
            table.fail_at("bbox",
                          "the edges of bbox must be whole arc-seconds, in degrees from "
                          "-180 to 180, as W, S, E, N");
            return;
        }
        edges[i] = static_cast<std::int32_t>(std::lround(arcsec));
    }
    if (spacing != std::floor(spacing)) {
        table.fail_at("spacing_arcsec", "the spacing must be a whole number of arc-seconds");
        return;
    }
    // A box whose east edge is west of its west edge crosses the antimeridian; one with equal edges
    // is a line.
    if (edges[2] < edges[0]) edges[2] += kArcsecPerCircle;
    auto lattice =
        lattice_over_box(edges[0], edges[1], edges[2], edges[3], static_cast<int>(spacing));
    if (!lattice) {
        table.fail_at("bbox", lattice.error().message);
        return;
    }
    recipe.lattice = std::move(*lattice);
    recipe.lattice.name = recipe.region.empty() ? recipe.title : recipe.region;
    recipe.lattice.reach_m = static_cast<std::int32_t>(std::lround(reach_km * 1000.0));
}

/// Whether the recipe says that what the file states is wrong.
bool is_overruled(RecipeTable& table, std::string_view key) {
    return table.choice(key, {"wrong"}, "") == "wrong";
}

void read_elevation(RecipeTable table, Recipe& recipe) {
    ElevationRecipe elevation;
    elevation.terms = read_optional_terms(table);
    elevation.path = resolved_path(recipe, table.required_text("path", "\"elevation.tif\""));
    elevation.unit = table.choice("unit", units_of(Variable::elevation), "m");
    elevation.is_unit_of_file_wrong = is_overruled(table, "unit_of_file");
    elevation.where = table.where("path");
    table.refuse_other_keys();
    recipe.elevation = std::move(elevation);
}

void read_output(RecipeTable table, Recipe& recipe) {
    recipe.temperature_layers = false;
    recipe.year_layers = false;
    for (const std::string& layer : table.texts("layers", {"temperature"})) {
        if (layer == "temperature") {
            recipe.temperature_layers = true;
        } else if (layer == "years") {
            recipe.year_layers = true;
        } else {
            table.fail_at("layers",
                          "unknown layer \"" + layer + "\" in [output]" +
                              did_you_mean_clause(layer, {"temperature", "years"}),
                          "it must be temperature or years");
        }
    }
    recipe.compact_tiles = table.choice("code", {"plain", "compact"}, "plain") == "compact";
    table.refuse_other_keys();
}

/// The variables that a grid may have: all except elevation, which has its own table.
std::vector<std::string_view> grid_variable_names() {
    std::vector<std::string_view> names;
    for (const Variable variable : all_variables())
        if (variable != Variable::elevation) names.push_back(variable_name(variable));
    return names;
}

GridRecipe read_grid(RecipeTable table, const Recipe& recipe) {
    GridRecipe grid;
    grid.terms = read_terms(table);
    grid.where = table.where();
    const std::string variable = table.required_choice("variable", grid_variable_names());
    const auto known_variable = variable_by_name(variable);
    if (!known_variable || known_variable == Variable::elevation)
        table.ignore_keys({"height_m", "wind_factor", "reference", "equation"});
    grid.variable = known_variable.value_or(Variable::tmax);
    grid.path = resolved_path(recipe, table.required_text("path", "\"tmax_{month:02}.tif\""));
    if (has_year_pattern(grid.path) && !grid.terms.period.empty() &&
        !year_range_of(grid.terms.period)) {
        table.fail_at("period", "the path has {year}, so the period \"" + grid.terms.period +
                                    "\" must be the first and last year, such as \"1991-2020\"");
    }
    grid.unit = table.required_choice("unit", units_of(grid.variable));
    grid.scale = table.optional_number("scale", kMinSourceScale, kMaxSourceScale);
    grid.offset = table.optional_number("offset", -kGreatestSourceOffset, kGreatestSourceOffset);
    grid.is_scale_of_file_wrong = is_overruled(table, "scale_of_file");
    grid.is_unit_of_file_wrong = is_overruled(table, "unit_of_file");
    grid.netcdf_variable = table.text("netcdf_variable");
    if (is_wind(grid.variable)) {
        grid.height_m = table.number("height_m", 10.0, 0.6, 200.0);
        grid.wind_factor = wind_factor_of(table);
    }
    if (grid.variable == Variable::eto) {
        EtoTerms eto = read_eto_terms(table, recipe.reference, "grid");
        grid.eto_reference = eto.reference;
        grid.eto_equation = std::move(eto.equation);
    }
    table.refuse_other_keys();
    return grid;
}

PostalRecipe read_postal(RecipeTable table, const Recipe& recipe, const std::string& file,
                         RecipeFaults& faults) {
    PostalRecipe postal;
    postal.terms = read_optional_terms(table);
    postal.where = table.where();
    const auto country = normalised_country(table.required_text("country", "\"US\""));
    if (country) {
        postal.country = *country;
    } else {
        table.fail_at("country", country.error().message, country.error().hint);
    }
    postal.path = resolved_path(recipe, table.required_text("path", "\"postal.csv\""));
    const std::string layout =
        table.required_choice("layout", {"csv", "geonames", "census-gazetteer"});
    postal.layout = layout == "geonames" ? PostalLayout::geonames
                    : layout == "csv"    ? PostalLayout::csv
                                         : PostalLayout::census_gazetteer;
    if (layout != "geonames" && layout != "census-gazetteer") {
        table.ignore_keys({"columns"});
        postal.format = read_table_format(table, "[[postal]]", file, faults);
    }
    if (postal.layout == PostalLayout::csv) {
        const toml::table* columns = table.table("columns");
        if (columns == nullptr) {
            table.fail_with_missing(
                "[[postal]] of layout \"csv\" lacks the key \"columns\"; add a line such as "
                "columns = { code = \"zip\", lat = \"lat\", lon = \"lon\" }");
        } else {
            RecipeTable names(*columns, "columns of [[postal]]", file, faults);
            postal.code_column = names.required_text("code", "\"zip\"");
            postal.lat_column = names.required_text("lat", "\"lat\"");
            postal.lon_column = names.required_text("lon", "\"lon\"");
            postal.place_column = names.text("place");
            postal.country_column = names.text("country");
            names.refuse_other_keys();
        }
    }
    table.refuse_other_keys();
    return postal;
}

bool has_grid_of(const Recipe& recipe, Variable variable) {
    return std::any_of(recipe.grids.begin(), recipe.grids.end(),
                       [variable](const GridRecipe& grid) { return grid.variable == variable; });
}

bool has_stations_of(const Recipe& recipe, Variable variable) {
    return std::any_of(
        recipe.stations.begin(), recipe.stations.end(), [variable](const StationRecipe& source) {
            return std::any_of(
                source.variables.begin(), source.variables.end(),
                [variable](const StationVariable& other) { return other.variable == variable; });
        });
}

/// A check across tables: whether every variable that is used only with another has that one.
void check_partners(const Recipe& recipe, RecipeFaults& faults) {
    const auto check = [&](Variable variable, const std::string& where, const std::string& table,
                           bool has_partner) {
        const std::optional<Variable> partner = counterpart_of(variable);
        if (!partner || has_partner) return;
        const std::string name(variable_name(variable));
        const std::string missing(variable_name(*partner));
        faults.add_always(0, Error{ErrorCode::bad_input,
                                   where + ": " + table + " has " + name + ", and none has " +
                                       missing + ", without which it is not used; add " + missing,
                                   ""});
    };
    for (const GridRecipe& grid : recipe.grids) {
        const auto partner = counterpart_of(grid.variable);
        check(grid.variable, grid.where, "[[grid]]", partner && has_grid_of(recipe, *partner));
    }
    for (const StationRecipe& source : recipe.stations) {
        for (const StationVariable& variable : source.variables) {
            const auto partner = counterpart_of(variable.variable);
            check(variable.variable, source.where, source.record ? kRecordsTable : kStationsTable,
                  partner && has_stations_of(recipe, *partner));
        }
    }
}

/// A check across tables: whether the sources together are sufficient for reference ET.
void check_completeness(RecipeTable& root, const Recipe& recipe) {
    using enum Variable;
    int temperatures = 0;
    bool has_temperature_grid = false;
    for (const Variable variable : {tmax, tmin, tmean, temperature_range}) {
        has_temperature_grid = has_temperature_grid || has_grid_of(recipe, variable);
        if (has_grid_of(recipe, variable) || has_stations_of(recipe, variable)) ++temperatures;
    }
    if (temperatures < 2 && !has_grid_of(recipe, eto)) {
        root.fail_at({},
                     "the recipe has neither a [[grid]] of eto nor, in [[grid]] or [[stations]], "
                     "two of tmax, tmin, tmean and temperature_range, so no reference ET can be "
                     "computed; add them");
    }
    if ((has_temperature_grid || !recipe.stations.empty()) && !recipe.elevation) {
        root.fail_at({},
                     "the recipe lacks the table [elevation], without which temperature and air "
                     "pressure cannot be adjusted to a point; add it with a path and a unit");
    }
    std::set<std::string> periods;
    for (const GridRecipe& grid : recipe.grids) periods.insert(grid.terms.period);
    for (const StationRecipe& source : recipe.stations) periods.insert(source.terms.period);
    if (periods.size() > kMaxPeriods) {
        root.fail_at({},
                     "the sources have more than seven different periods; a baseline may have at "
                     "most seven, so remove some");
    }
}

}  // namespace

std::string resolved_path(const std::string& recipe_path, const std::string& path) {
    const std::string folder = std::filesystem::path(recipe_path).parent_path().string();
    if (folder.empty() || path.empty()) return path;
    if (path.front() != '/') return folder + "/" + path;
    for (const std::string_view archive : {"/vsizip/", "/vsigzip/", "/vsitar/"}) {
        if (!path.starts_with(archive)) continue;
        const std::string inner = path.substr(archive.size());
        // After an archive's prefix: another virtual path, an absolute path, or {a path in braces}.
        if (inner.empty() || inner.front() == '/' || inner.front() == '{') return path;
        return std::string(archive) + folder + "/" + inner;
    }
    return path;
}

std::string resolved_path(const Recipe& recipe, const std::string& path) {
    const std::size_t at = path.find(kDataFolderMark);
    if (at == std::string::npos) return resolved_path(recipe.path, path);
    return std::string(path).replace(at, kDataFolderMark.size(), recipe.data_folder);
}

std::string default_data_folder(const std::string& recipe_path) {
    return std::filesystem::path(recipe_path).replace_extension(".data").string();
}

Result<Recipe> read_recipe(const std::string& path, const std::string& data_folder) {
    auto text = TRY(text_of_toml_file(path, "recipe"));
    auto document = TRY(toml_of_text(text, path));
    const std::string file = std::filesystem::path(path).filename().string();
    RecipeFaults faults;
    Recipe recipe;
    recipe.path = path;
    recipe.text = std::move(text);
    recipe.data_folder = data_folder.empty() ? default_data_folder(path) : data_folder;
    while (recipe.data_folder.size() > 1 && recipe.data_folder.back() == '/')
        recipe.data_folder.pop_back();

    RecipeTable root(document, "the recipe", file, faults);
    const auto required_table = [&](std::string_view key) -> const toml::table* {
        const toml::table* table = root.table(key);
        if (table == nullptr && !root.has(key))
            root.fail_with_missing("the recipe lacks the table [" + std::string(key) + "]", key);
        return table;
    };
    const auto with_independent_keys = [&](const toml::table& table, const char* name) {
        faults.begin_table(true);
        return RecipeTable(table, name, file, faults);
    };
    const auto with_dependent_keys = [&](const toml::table& table, const char* name) {
        faults.begin_table(false);
        return RecipeTable(table, name, file, faults);
    };
    if (const auto* table = required_table("baseline"))
        read_baseline(with_independent_keys(*table, "[baseline]"), recipe);
    if (const auto* table = required_table("lattice"))
        read_lattice(with_independent_keys(*table, "[lattice]"), recipe);
    if (const auto* table = root.table("elevation"))
        read_elevation(with_independent_keys(*table, "[elevation]"), recipe);
    if (const auto* table = root.table("output"))
        read_output(with_independent_keys(*table, "[output]"), recipe);
    for (const auto* table : root.tables("grid"))
        recipe.grids.push_back(read_grid(with_dependent_keys(*table, "[[grid]]"), recipe));
    for (const auto* table : root.tables("stations")) {
        recipe.stations.push_back(
            read_stations(with_dependent_keys(*table, "[[stations]]"), recipe, file, faults));
    }
    for (const auto* table : root.tables("records")) {
        recipe.stations.push_back(
            read_records(with_dependent_keys(*table, kRecordsTable), recipe, file, faults));
    }
    for (const auto* table : root.tables("postal"))
        recipe.postal.push_back(
            read_postal(with_dependent_keys(*table, "[[postal]]"), recipe, file, faults));
    faults.begin_table(true);
    root.refuse_other_keys();
    recipe.lattice.tile_edge = recipe.compact_tiles ? kCompactTileEdge : kPlainTileEdge;
    // A fault may hide what these need.
    faults.begin_table(false);
    if (faults.empty()) {
        check_completeness(root, recipe);
        if (faults.empty()) check_partners(recipe, faults);
    }
    if (!faults.empty()) return fail(faults.all());
    return recipe;
}

}  // namespace thirstline
