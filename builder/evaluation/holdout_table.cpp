#include "builder/evaluation/holdout_table.hpp"

#include <algorithm>
#include <array>
#include <filesystem>

#include "builder/inputs/table_fields.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

namespace {

struct HoldoutVariable {
    const char* column;
    Variable variable;
    const char* unit;
};

constexpr std::array<HoldoutVariable, 8> kVariablesOfTable{{
    {"tmax_c", Variable::tmax, "degC"},
    {"tmin_c", Variable::tmin, "degC"},
    {"rain_mm", Variable::rain, "mm/month"},
    {"dew_point_c", Variable::dew_point, "degC"},
    {"vapour_pressure_kpa", Variable::vapour_pressure, "kPa"},
    {"wind_2m_m_s", Variable::wind, "m/s"},
    {"radiation_mj_m2_day", Variable::radiation, "MJ/m2/day"},
    {"sunshine_h_day", Variable::sunshine_hours, "h/day"},
}};

Result<std::vector<std::string>> header_of(const std::string& path) {
    auto bytes = TRY(vsi_bytes(path, "--holdout"));
    CsvReader reader = CsvReader::over(path, std::move(bytes));
    CsvRow row;
    TRY(reader.next(row));
    std::vector<std::string> names;
    for (std::size_t i = 0; i < row.size(); ++i) names.push_back(trimmed_field(row.field(i)));
    return names;
}

}  // namespace

Result<std::vector<std::string>> unread_holdout_columns(const std::string& path) {
    const auto header = TRY(header_of(path));
    std::vector<std::string_view> known{"name", "country", "lat", "lon", "elevation_m", "month"};
    for (const HoldoutVariable& of_table : kVariablesOfTable) known.push_back(of_table.column);
    std::vector<std::string> unread;
    for (const std::string& column : header) {
        if (column.empty() || std::ranges::find(known, column) != known.end()) continue;
        const bool is_of_a_variable = std::ranges::any_of(
            all_variables(),
            [&column](Variable variable) { return column.starts_with(variable_name(variable)); });
        if (!is_of_a_variable && did_you_mean(column, known).empty()) continue;
        unread.push_back("the column " + in_quotes(column) + " is not used" +
                         did_you_mean_clause(column, known));
    }
    return unread;
}

Result<StationTable> read_holdout_table(const std::string& path) {
    const auto header = header_of(path);
    if (!header) return fail(header.error());
    const auto column_if_there = [&header](const char* name) {
        const bool is_there = std::find(header->begin(), header->end(), name) != header->end();
        return is_there ? std::string(name) : std::string();
    };
    StationRecipe recipe;
    recipe.terms.name = "hold-out stations";
    recipe.path = path;
    recipe.layout = StationLayout::by_month;
    recipe.height_m = 2.0;
    recipe.name_column = column_if_there("name");
    recipe.country_column = column_if_there("country");
    recipe.lat_column = "lat";
    recipe.lon_column = "lon";
    recipe.elevation_column = column_if_there("elevation_m");
    recipe.month_column = "month";
    recipe.where = "--holdout";
    for (const HoldoutVariable& of_table : kVariablesOfTable) {
        const std::string column = column_if_there(of_table.column);
        if (column.empty()) continue;
        StationVariable variable;
        variable.variable = of_table.variable;
        variable.unit = of_table.unit;
        variable.column = column;
        recipe.variables.push_back(std::move(variable));
    }
    if (recipe.variables.empty()) {
        std::string known;
        for (const HoldoutVariable& of_table : kVariablesOfTable) add_word(known, of_table.column);
        return fail(ErrorCode::bad_input,
                    "--holdout: " + std::filesystem::path(path).filename().string() +
                        " has no column of values",
                    "it needs lat, lon, month and at least one of " + known);
    }
    return read_station_table(recipe, 0, UsedRegion());
}

}  // namespace thirstline
