#include "builder/stations/station_columns.hpp"

#include <algorithm>
#include <optional>

#include "builder/inputs/table_fields.hpp"
#include "schema/base/nearest_name.hpp"

namespace thirstline {

namespace {

class HeaderNames {
  public:
    HeaderNames(const CsvRow& header, const StationRecipe& recipe, const std::string& file,
                const TextRecoder& recoder)
        : recipe_(recipe), file_(file) {
        for (std::size_t i = 0; i < header.size(); ++i)
            names_.push_back(trimmed_field(recoder.utf8(header.field(i))));
    }

    /// −1 for an empty name; the first missing column becomes the error.
    int column_of(const std::string& name) {
        if (name.empty()) return -1;
        const auto found = std::find(names_.begin(), names_.end(), trimmed_field(name));
        if (found != names_.end()) return static_cast<int>(found - names_.begin());
        if (!error_) {
            const std::vector<std::string_view> candidates(names_.begin(), names_.end());
            error_ = Error{
                ErrorCode::bad_input,
                recipe_.where + ": " + file_ + " has no column \"" + name + "\"" +
                    did_you_mean_clause(name, candidates),
                "if the path matches other kinds of files, use a pattern such as monthly-*.csv"};
        }
        return -1;
    }
    [[nodiscard]] const std::optional<Error>& error() const { return error_; }

  private:
    const StationRecipe& recipe_;
    const std::string& file_;
    std::vector<std::string> names_;
    std::optional<Error> error_;
};

}  // namespace

Result<StationColumns> station_columns(const CsvRow& header, const StationRecipe& recipe,
                                       const std::string& file, const TextRecoder& recoder) {
    HeaderNames names(header, recipe, file, recoder);
    StationColumns columns;
    columns.station = names.column_of(recipe.station_column);
    columns.name = names.column_of(recipe.name_column);
    columns.country = names.column_of(recipe.country_column);
    columns.lat = names.column_of(recipe.lat_column);
    columns.lon = names.column_of(recipe.lon_column);
    columns.elevation = names.column_of(recipe.elevation_column);
    columns.month = names.column_of(recipe.month_column);
    for (std::size_t month = 0; month < kMonths; ++month)
        columns.months[month] = names.column_of(recipe.month_columns[month]);
    for (const StationVariable& variable : recipe.variables) {
        columns.variables.push_back({names.column_of(variable.column),
                                     names.column_of(variable.years_column),
                                     names.column_of(variable.flag_column)});
    }
    columns.count = header.size();
    if (names.error()) return fail(*names.error());
    return columns;
}

}  // namespace thirstline
