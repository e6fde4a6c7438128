#include "builder/recipe/recipe_stations.hpp"

#include <algorithm>
#include <cctype>

#include "builder/inputs/text_encoding.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

constexpr const char* kTable = "[[stations]]";

std::vector<std::string_view> station_variable_names() {
    std::vector<std::string_view> names;
    for (const Variable variable : all_variables())
        if (variable != Variable::elevation) names.push_back(variable_name(variable));
    return names;
}

/// "jan" … "dec"
std::string month_key(std::size_t month) {
    return ascii_lower(kMonthAbbreviations[month]);
}

bool holds(const StationRecipe& stations, Variable variable) {
    return std::any_of(stations.variables.begin(), stations.variables.end(),
                       [variable](const StationVariable& v) { return v.variable == variable; });
}

/// Reads the sub-tables columns and units; `table` is the [[stations]] table.
class StationColumnKeys {
  public:
    StationColumnKeys(RecipeTable& table, const std::string& file,
                      std::optional<Error>& first_error, StationRecipe& stations)
        : table_(table), stations_(stations) {
        if (const toml::table* found = table.table("columns"))
            columns_.emplace(*found, std::string("columns of ") + kTable, file, first_error);
        if (const toml::table* found = table.table("units"))
            units_.emplace(*found, std::string("units of ") + kTable, file, first_error);
        if (stations.layout == StationLayout::wide) return;
        if (const toml::table* found = table.table("scale"))
            scales_.emplace(*found, std::string("scale of ") + kTable, file, first_error);
    }

    void read() {
        if (!columns_) {
            if (!table_.has("columns")) {
                table_.fail_lacking(
                    "[[stations]] lacks the key \"columns\"; add a line such as columns = { name = "
                    "\"Station\", lat = \"Latitude\", lon = \"Longitude\", elevation = "
                    "\"Elevation\", … }");
            }
            return;
        }
        stations_.station_column = columns_->text("station");
        stations_.name_column = columns_->text("name");
        stations_.country_column = columns_->text("country");
        stations_.lat_column = columns_->required_text("lat", "\"Latitude\"");
        stations_.lon_column = columns_->required_text("lon", "\"Longitude\"");
        stations_.elevation_column = columns_->text("elevation");
        if (units_)
            stations_.elevation_unit = units_->choice("elevation", units_of(Variable::elevation),
                                                      stations_.elevation_unit);
        if (stations_.layout == StationLayout::wide) {
            read_months();
        } else {
            stations_.month_column = columns_->required_text("month", "\"month\"");
            read_variables();
        }
        columns_->refuse_other_keys();
        if (units_) units_->refuse_other_keys();
        if (scales_) scales_->refuse_other_keys();
    }

  private:
    void read_months() {
        for (std::size_t month = 0; month < kMonths; ++month) {
            stations_.month_columns[month] = columns_->required_text(
                month_key(month), "\"" + std::string(kMonthAbbreviations[month]) + "\"");
        }
        for (StationVariable& variable : stations_.variables) read_record(variable);
    }

    void read_record(StationVariable& variable) {
        const std::string name(variable_name(variable.variable));
        variable.years_column = columns_->text("years_" + name);
        variable.flag_column = columns_->text("flag_" + name);
    }

    /// All variables that have a column, with their units.
    void read_variables() {
        for (const std::string_view name : station_variable_names()) {
            if (!columns_->has(name)) {
                (void)columns_->text(name);  // a known key, although absent
                continue;
            }
            StationVariable variable;
            variable.variable = *variable_by_name(name);
            variable.column = columns_->required_text(name, "\"" + std::string(name) + "\"");
            read_unit(name, variable);
            if (scales_)
                variable.scale = scales_->number(name, 1.0, kMinSourceScale, kMaxSourceScale);
            read_record(variable);
            stations_.variables.push_back(std::move(variable));
        }
        if (stations_.variables.empty()) {
            columns_->fail_lacking(
                "[[stations]] of layout \"long\" names no column of a variable; add one to "
                "columns, such as tmax = \"tmax_c\"");
        }
    }

    void read_unit(std::string_view name, StationVariable& variable) {
        if (!units_ || !units_->has(name)) {
            const std::string such_as =
                std::string(name) + " = \"" + std::string(canonical_unit(variable.variable)) + "\"";
            table_.fail_at(units_ ? "units" : "columns",
                           "[[stations]] names the column of \"" + std::string(name) +
                               "\" but not its unit; add " +
                               (units_ ? such_as + " to units" : "units = { " + such_as + " }"));
            return;
        }
        variable.unit = units_->text(name);
        if (const auto known = unit_conversion(variable.variable, variable.unit); !known)
            units_->fail_at(name, known.error().message, known.error().hint);
    }

    RecipeTable& table_;
    StationRecipe& stations_;
    std::optional<RecipeTable> columns_;
    std::optional<RecipeTable> units_;
    std::optional<RecipeTable> scales_;
};

void read_encoding(RecipeTable& table, StationRecipe& stations) {
    stations.encoding = table.text("encoding", "UTF-8");
    if (TextRecoder::open(stations.encoding)) return;
    table.fail_at("encoding", "\"" + stations.encoding + "\" is not a supported encoding",
                  "such as UTF-8, latin1 or cp1252: one in which commas and digits are single "
                  "bytes");
}

}  // namespace

StationRecipe read_stations(RecipeTable table, const Recipe& recipe, const std::string& file,
                            std::optional<Error>& first_error) {
    StationRecipe stations;
    stations.terms = read_terms(table);
    stations.where = table.where();
    stations.path = resolved_path(recipe.path, table.required_text("path", "\"stations.csv\""));
    const std::string layout = table.required_choice("layout", {"wide", "long"});
    stations.layout = layout == "long" ? StationLayout::by_month : StationLayout::wide;
    read_encoding(table, stations);
    auto missing = table.numbers_and_texts("missing", "[-99.9]");
    stations.missing = std::move(missing.numbers);
    stations.missing_words = std::move(missing.texts);
    stations.country = table.text("country");
    // If the key that defines their meaning is wrong, only that error is reported.
    if (layout.empty() || !(layout == "wide" || layout == "long"))
        table.leave_unread({"variable", "unit", "scale", "columns", "units", "height_m", "exposure",
                            "reference", "equation"});
    if (layout == "wide") {
        StationVariable variable;
        const std::string name = table.required_choice("variable", station_variable_names());
        const auto known = variable_by_name(name);
        if (!known) table.leave_unread({"height_m", "exposure", "reference", "equation"});
        variable.variable = known.value_or(Variable::tmax);
        variable.unit = table.required_choice("unit", units_of(variable.variable));
        variable.scale = table.number("scale", 1.0, kMinSourceScale, kMaxSourceScale);
        stations.variables.push_back(std::move(variable));
    }
    if (layout == "wide" || layout == "long")
        StationColumnKeys(table, file, first_error, stations).read();
    if (holds(stations, Variable::wind)) {
        stations.height_m = table.number("height_m", 10.0, 0.6, 200.0);
        stations.exposure = table.number("exposure", 1.0, 0.2, 2.0);
    }
    if (holds(stations, Variable::eto))
        stations.eto_equation = read_eto_terms(table, recipe.reference, "source").equation;
    table.refuse_other_keys();
    return stations;
}

}  // namespace thirstline
