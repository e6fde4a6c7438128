#include "builder/recipe/recipe_stations.hpp"

#include <algorithm>
#include <cctype>

#include "builder/recipe/table_keys.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

/// A station's wind is its speed: no table of normals has mean components.
std::vector<std::string_view> station_variable_names() {
    using enum Variable;
    std::vector<std::string_view> names;
    for (const Variable variable : all_variables())
        if (variable != elevation && variable != wind_u && variable != wind_v)
            names.push_back(variable_name(variable));
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
    StationColumnKeys(RecipeTable& table, const std::string& file, RecipeFaults& faults,
                      StationRecipe& stations)
        : table_(table),
          name_(stations.record ? kRecordsTable : kStationsTable),
          file_(file),
          faults_(faults),
          stations_(stations) {
        if (const toml::table* found = table.table("columns"))
            columns_.emplace(*found, "columns of " + name_, file, faults);
        if (const toml::table* found = table.table("units"))
            units_.emplace(*found, "units of " + name_, file, faults);
        if (const toml::table* found = table.table("where"))
            where_.emplace(*found, "where of " + name_, file, faults);
        if (has_one_variable()) return;
        if (const toml::table* found = table.table("scale"))
            scales_.emplace(*found, "scale of " + name_, file, faults);
        if (const toml::table* found = table.table("offset"))
            offsets_.emplace(*found, "offset of " + name_, file, faults);
    }

    void read() {
        if (!columns_) {
            if (!table_.has("columns")) {
                table_.fail_with_missing(
                    name_ +
                    " lacks the key \"columns\"; add a line such as columns = { name = \"Station\","
                    " lat = \"Latitude\", lon = \"Longitude\", elevation = "
                    "\"Elevation\", … }");
            }
            return;
        }
        stations_.station_column = columns_->text("station");
        stations_.name_column = columns_->text("name");
        stations_.country_column = columns_->text("country");
        read_position();
        if (units_)
            stations_.elevation_unit = units_->choice("elevation", units_of(Variable::elevation),
                                                      stations_.elevation_unit);
        if (where_) stations_.rows = read_conditions(*where_);
        if (stations_.record) {
            read_dates();
            read_variables();
        } else if (stations_.layout == StationLayout::wide) {
            read_months();
        } else {
            stations_.month_column = columns_->required_text("month", "\"month\"");
            read_variables();
        }
        refuse_rows_of_other_variables();
        for (auto* table : {&where_, &columns_, &units_, &scales_, &offsets_})
            if (*table) (*table)->refuse_other_keys();
    }

  private:
    [[nodiscard]] bool has_one_variable() const { return !stations_.variables.empty(); }

    /// In the table itself, or in a second one.
    void read_position() {
        stations_.elevation_column = columns_->text("elevation");
        if (stations_.only_station) return;
        if (!table_.has("positions")) {
            stations_.lat_column = columns_->required_text("lat", "\"Latitude\"");
            stations_.lon_column = columns_->required_text("lon", "\"Longitude\"");
            return;
        }
        for (const std::string_view key : {"lat", "lon"}) {
            if (columns_->has(key)) {
                columns_->fail_at(key, "columns and positions of " + name_ + " both name \"" +
                                           std::string(key) + "\"; leave one of them out");
            }
        }
        columns_->ignore_keys({"lat", "lon"});
    }

    /// One column of the date, or columns of its parts.
    void read_dates() {
        RecordRecipe& record = *stations_.record;
        const bool is_daily = record.step != RecordStep::months;
        if (record.step == RecordStep::hours) record.hour_column = columns_->text("hour");
        record.date_column = columns_->text("date");
        if (!record.date_column.empty()) {
            for (const std::string_view key : {"year", "month", "day", "yday"}) {
                if (columns_->has(key))
                    columns_->fail_at(key, "columns of " + name_ + " names both \"date\" and \"" +
                                               std::string(key) + "\"; leave one of them out");
            }
            columns_->ignore_keys({"year", "month", "day", "yday"});
        } else if (!columns_->has("year")) {
            columns_->fail_with_missing(
                "columns of " + name_ +
                " names no date; add date = \"DATE\", or year = \"YEAR\" with " +
                (is_daily ? "month and day, or with yday" : "month"));
            columns_->ignore_keys({"month", "day", "yday"});
        } else {
            record.year_column = columns_->required_text("year", "\"YEAR\"");
            if (is_daily && columns_->has("yday")) {
                record.day_of_year_column = columns_->required_text("yday", "\"YDAY\"");
            } else {
                stations_.month_column = columns_->required_text("month", "\"MONTH\"");
                if (is_daily) record.day_column = columns_->required_text("day", "\"DAY\"");
            }
        }
        if (record.step == RecordStep::hours && record.hour_column.empty() &&
            record.date_column.empty() && columns_->has("year"))
            columns_->fail_with_missing("columns of " + name_ +
                                        " names no hour; add hour = \"HOUR\", or date with a time");
        if (record.step != RecordStep::hours)
            record.covered_days_column = columns_->text("rain_covers_days");
    }

    void read_months() {
        for (std::size_t month = 0; month < kMonths; ++month) {
            stations_.month_columns[month] = columns_->required_text(
                month_key(month), "\"" + std::string(kMonthAbbreviations[month]) + "\"");
        }
        if (has_one_variable()) {
            read_record(stations_.variables[0]);
            return;
        }
        for (const std::string_view name : station_variable_names()) {
            if (where_) where_->ignore_keys({name});
            if (where_ && where_->has_table(name)) add_variable(name);
        }
        if (stations_.variables.empty()) {
            where_->fail_with_missing(
                "[[stations]] of layout \"wide\" lacks the key \"variable\"; add it, or name the "
                "rows of each variable, such as where = { tmax = { ELEMENT = \"Daily maximum\" } "
                "}");
        }
    }

    void refuse_rows_of_other_variables() {
        if (!where_) return;
        for (const std::string_view name : station_variable_names()) {
            if (!where_->has_table(name) || holds(stations_, *variable_by_name(name))) continue;
            where_->fail_at(name, stations_.layout == StationLayout::wide
                                      ? "[[stations]] has one \"variable\", and its where the rows "
                                        "of \"" +
                                            std::string(name) +
                                            "\"; leave out \"variable\" and \"unit\", and give the "
                                            "units of all in units"
                                      : "where names the rows of \"" + std::string(name) +
                                            "\", of which columns names no column; add one");
        }
    }

    /// One pair of columns may serve all variables, of which each has rows of its own.
    void read_record(StationVariable& variable) {
        const std::string name(variable_name(variable.variable));
        if (stations_.record) {
            variable.flag_column = columns_->text("flag_" + name, columns_->text("flag"));
            return;
        }
        variable.years_column = columns_->text("years_" + name, columns_->text("years"));
        variable.flag_column = columns_->text("flag_" + name, columns_->text("flag"));
    }

    /// All variables that have a column, with their units.
    void read_variables() {
        for (const std::string_view name : station_variable_names()) {
            if (!columns_->has(name)) {
                columns_->ignore_keys({name});
                continue;
            }
            add_variable(name).column =
                columns_->required_text(name, "\"" + std::string(name) + "\"");
        }
        if (stations_.variables.empty()) {
            columns_->fail_with_missing(
                name_ + (stations_.record ? "" : " of layout \"long\"") +
                " names no column of a variable; add one to columns, such as tmax = \"tmax_c\"");
        }
    }

    StationVariable& add_variable(std::string_view name) {
        StationVariable variable;
        variable.variable = *variable_by_name(name);
        read_unit(name, variable);
        if (scales_ && scales_->has(name)) variable.scale_where = scales_->where(name);
        if (offsets_ && offsets_->has(name)) variable.scale_where = offsets_->where(name);
        if (scales_) variable.scale = scales_->number(name, 1.0, kMinSourceScale, kMaxSourceScale);
        if (offsets_)
            variable.offset =
                offsets_->number(name, 0.0, -kGreatestSourceOffset, kGreatestSourceOffset);
        read_record(variable);
        read_rows(name, variable);
        return stations_.variables.emplace_back(std::move(variable));
    }

    void read_rows(std::string_view name, StationVariable& variable) {
        if (!where_ || !where_->has_table(name)) return;
        RecipeTable rows(*where_->table(name), "where of " + std::string(name), file_, faults_);
        variable.rows = read_conditions(rows);
        rows.refuse_other_keys();
        if (variable.rows.empty()) {
            where_->fail_at(name, "where of \"" + std::string(name) +
                                      "\" is empty; name a column and its value");
        }
    }

    void read_unit(std::string_view name, StationVariable& variable) {
        if (!units_ || !units_->has(name)) {
            const std::string such_as =
                std::string(name) + " = \"" + std::string(canonical_unit(variable.variable)) + "\"";
            table_.fail_at(
                units_ ? "units" : "columns",
                name_ + " names the " +
                    std::string(stations_.layout == StationLayout::wide ? "rows" : "column") +
                    " of \"" + std::string(name) + "\" but not its unit; add " +
                    (units_ ? such_as + " to units" : "units = { " + such_as + " }"));
            return;
        }
        variable.unit = units_->text(name);
        if (const auto known = unit_conversion(variable.variable, variable.unit); !known)
            units_->fail_at(name, known.error().message, known.error().hint);
    }

    RecipeTable& table_;
    std::string name_;
    std::string file_;
    RecipeFaults& faults_;
    StationRecipe& stations_;
    std::optional<RecipeTable> columns_;
    std::optional<RecipeTable> units_;
    std::optional<RecipeTable> where_;
    std::optional<RecipeTable> scales_;
    std::optional<RecipeTable> offsets_;
};

/// Whether `where` says which rows hold which variable.
bool has_rows_by_variable(RecipeTable& table) {
    if (table.has("variable") || !table.has_table("where")) return false;
    const toml::table& where = *table.table("where");
    return std::any_of(where.begin(), where.end(),
                       [](const auto& entry) { return entry.second.is_table(); });
}

/// Both the factor and the number that is added to the product.
void read_scale(RecipeTable& table, StationVariable& variable) {
    variable.scale = table.number("scale", 1.0, kMinSourceScale, kMaxSourceScale);
    variable.offset = table.number("offset", 0.0, -kGreatestSourceOffset, kGreatestSourceOffset);
    for (const std::string_view key : {"scale", "offset"})
        if (table.has(key)) variable.scale_where = table.where(key);
}

/// key = "ID" for a column that both tables have, or key = { ID_HERE = "ID_THERE" }; of several,
/// all must agree.
void read_key(RecipeTable& table, const std::string& file, RecipeFaults& faults,
              PositionsRecipe& positions) {
    if (!table.has_table("key")) {
        positions.key_columns = table.text_or_texts("key", "\"STATION_ID\"");
        positions.station_columns = positions.key_columns;
        return;
    }
    RecipeTable key(*table.table("key"), "key of positions", file, faults);
    for (const std::string& column : key.keys()) {
        positions.station_columns.push_back(column);
        positions.key_columns.push_back(key.required_text(column, "\"STATION_ID\""));
    }
    if (positions.key_columns.empty())
        table.fail_at("key",
                      "key of positions is empty; name a column of each table, such as "
                      "{ ID = \"STATION_ID\" }");
}

std::optional<PositionsRecipe> read_positions(RecipeTable& of_stations,
                                              const std::string& table_name, const Recipe& recipe,
                                              const std::string& file, RecipeFaults& faults) {
    const toml::table* found = of_stations.table("positions");
    if (found == nullptr) return std::nullopt;
    const std::string name = "positions of " + table_name;
    RecipeTable table(*found, name, file, faults);
    PositionsRecipe positions;
    positions.where = of_stations.where("positions");
    positions.path = resolved_path(recipe, table.required_text("path", "\"inventory.csv\""));
    read_key(table, file, faults, positions);
    positions.lat_column = table.required_text("lat", "\"LATITUDE\"");
    positions.lon_column = table.required_text("lon", "\"LONGITUDE\"");
    positions.elevation_column = table.text("elevation");
    positions.name_column = table.text("name");
    positions.country_column = table.text("country");
    positions.format = read_table_format(table, name, file, faults);
    if (const toml::table* where = table.table("where")) {
        RecipeTable rows(*where, "where of " + name, file, faults);
        positions.rows = read_conditions(rows);
        rows.refuse_other_keys();
    }
    table.refuse_other_keys();
    return positions;
}

}  // namespace

void read_table_keys(RecipeTable& table, const std::string& table_name, const Recipe& recipe,
                     const std::string& file, RecipeFaults& faults, StationRecipe& stations) {
    stations.terms = read_terms(table);
    stations.where = table.where();
    stations.path = resolved_path(recipe, table.required_text("path", "\"stations.csv\""));
    stations.format = read_table_format(table, table_name, file, faults);
    auto missing = table.numbers_and_texts("missing", "[-99.9]");
    stations.missing = std::move(missing.numbers);
    stations.missing_words = std::move(missing.texts);
    auto zero = table.numbers_and_texts("zero", "[-7777]");
    stations.zero = std::move(zero.numbers);
    stations.zero_words = std::move(zero.texts);
    stations.country = table.text("country");
    stations.positions = read_positions(table, table_name, recipe, file, faults);
}

void read_variable_keys(RecipeTable& table, const Recipe& recipe, const std::string& file,
                        RecipeFaults& faults, StationRecipe& stations) {
    StationColumnKeys(table, file, faults, stations).read();
    if (holds(stations, Variable::wind)) {
        stations.height_m = table.number("height_m", 10.0, 0.6, 200.0);
        stations.wind_factor = wind_factor_of(table);
    }
    if (holds(stations, Variable::eto))
        stations.eto_equation = read_eto_terms(table, recipe.reference, "source").equation;
}

StationRecipe read_stations(RecipeTable table, const Recipe& recipe, const std::string& file,
                            RecipeFaults& faults) {
    StationRecipe stations;
    read_table_keys(table, kStationsTable, recipe, file, faults, stations);
    const std::string layout = table.required_choice("layout", {"wide", "long"});
    stations.layout = layout == "long" ? StationLayout::by_month : StationLayout::wide;
    stations.flags = read_flags(table, kStationsTable, file, faults);
    // If the key that defines their meaning is wrong, only that error is reported.
    if (layout.empty() || !(layout == "wide" || layout == "long")) {
        table.ignore_keys({"variable", "unit", "scale", "offset", "where", "columns", "units",
                           "height_m", "wind_factor", "reference", "equation"});
        table.refuse_other_keys();
        return stations;
    }
    if (layout == "wide" && !has_rows_by_variable(table)) {
        StationVariable variable;
        const std::string name = table.required_choice("variable", station_variable_names());
        const auto known = variable_by_name(name);
        if (!known) table.ignore_keys({"height_m", "wind_factor", "reference", "equation"});
        variable.variable = known.value_or(Variable::tmax);
        variable.unit = table.required_choice("unit", units_of(variable.variable));
        read_scale(table, variable);
        stations.variables.push_back(std::move(variable));
    }
    read_variable_keys(table, recipe, file, faults, stations);
    table.refuse_other_keys();
    return stations;
}

}  // namespace thirstline
