#include "builder/stations/station_columns.hpp"

namespace thirstline {

StationHeaders::StationHeaders(const StationRecipe& recipe) : recipe_(recipe) {
    for (const StationVariable& variable : recipe.variables) {
        values_.push_back({variable.column, 0, {}});
        years_.push_back({variable.years_column, 0, {}});
        flags_.push_back({variable.flag_column, 0, {}});
    }
}

Result<StationColumns> StationHeaders::columns_of(const HeaderNames& header,
                                                  const std::string& file) {
    ++files_;
    std::optional<Error> missing;
    const auto required = [&](const std::string& name) {
        const int column = header.index_of(name);
        if (column < 0 && !name.empty() && !missing) missing = error_of_missing(name, header, file);
        return column;
    };
    StationColumns columns;
    columns.station = required(recipe_.station_column);
    columns.name = required(recipe_.name_column);
    columns.country = required(recipe_.country_column);
    columns.lat = required(recipe_.lat_column);
    columns.lon = required(recipe_.lon_column);
    columns.elevation = required(recipe_.elevation_column);
    columns.month = required(recipe_.month_column);
    for (std::size_t month = 0; month < kMonths; ++month)
        columns.months[month] = required(recipe_.month_columns[month]);
    if (missing) return fail(*missing);
    for (std::size_t v = 0; v < values_.size(); ++v) {
        columns.variables.push_back({find(values_[v], header, file), find(years_[v], header, file),
                                     find(flags_[v], header, file)});
    }
    return columns;
}

Error StationHeaders::error_of_missing(const std::string& name, const HeaderNames& header,
                                       const std::string& file) const {
    Error error = header.lacking(name, file, recipe_.where);
    const bool is_one_file =
        recipe_.path.ends_with(".csv") && recipe_.path.find_first_of("*?") == std::string::npos;
    if (error.hint.empty() && !is_one_file)
        error.hint =
            "if the path matches other kinds of files, use a pattern such as monthly-*.csv";
    return error;
}

int StationHeaders::find(Optional& column, const HeaderNames& header, const std::string& file) {
    const int found = header.index_of(column.name);
    if (found >= 0) {
        ++column.files_with;
    } else if (!column.name.empty() && !column.first_missing) {
        column.first_missing = error_of_missing(column.name, header, file);
    }
    return found;
}

Result<void> StationHeaders::check_found() const {
    for (const auto* columns : {&values_, &years_, &flags_}) {
        for (const Optional& column : *columns) {
            if (column.files_with > 0 || !column.first_missing) continue;
            Error error = *column.first_missing;
            if (files_ > 1) {
                const bool asks = error.message.ends_with('?');  // "did you mean …?"
                error.message += asks ? " No other file of " + recipe_.path + " has it"
                                      : ", nor has any other file of " + recipe_.path;
            }
            return fail(std::move(error));
        }
    }
    return {};
}

std::vector<std::int64_t> StationHeaders::files_without() const {
    std::vector<std::int64_t> counts;
    for (const Optional& column : values_)
        counts.push_back(column.name.empty() ? 0 : files_ - column.files_with);
    return counts;
}

}  // namespace thirstline
