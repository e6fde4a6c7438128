#include "builder/stations/station_rows.hpp"

#include <algorithm>
#include <numeric>

#include "builder/inputs/table_fields.hpp"
#include "builder/inputs/table_rows.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "builder/stations/station_files.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

// The shore of the Dead Sea, and above the highest weather stations.
constexpr double kLowestStationM = -450.0;
constexpr double kHighestStationM = 6500.0;

}  // namespace

StationRows::StationRows(const StationRecipe& recipe, const UsedRegion& region, TextRecoder recoder)
    : recipe_(recipe),
      region_(region),
      recoder_(std::move(recoder)),
      headers_(recipe),
      numbers_(recipe),
      signs_(recipe.month_column),
      rows_(recipe.rows) {
    const bool has_rows =
        std::any_of(recipe.variables.begin(), recipe.variables.end(),
                    [](const StationVariable& variable) { return !variable.rows.empty(); });
    for (const StationVariable& variable : recipe.variables)
        rows_of_variables_.emplace_back(variable.rows);
    if (has_rows) return;
    all_variables_.resize(recipe.variables.size());
    std::iota(all_variables_.begin(), all_variables_.end(), std::size_t{0});
}

Result<void> StationRows::read(const FileVisitor& begin_file, const RowVisitor& take_row) {
    if (recipe_.positions) positions_ = TRY(StationPositions::read(*recipe_.positions));
    table_.inputs = TRY(station_files(recipe_.path, recipe_.where));
    if (recipe_.positions) table_.inputs.push_back(input_file(recipe_.positions->path));
    TRY(visit_station_tables(recipe_.path, recipe_.where,
                             [&](const std::string& path, ByteSource bytes) {
                                 return read_file(path, std::move(bytes), begin_file, take_row);
                             }));
    TRY(headers_.check_found());
    TRY(rows_.check_chosen(recipe_.path));
    for (const RowChoice& rows : rows_of_variables_) TRY(rows.check_chosen(recipe_.path));
    if (positions_) TRY(positions_->check_found());
    table_.files_without = headers_.files_without();
    return check_region();
}

Result<void> StationRows::read_file(const std::string& path, ByteSource bytes,
                                    const FileVisitor& begin, const RowVisitor& take_row) {
    file_ = static_cast<std::int32_t>(table_.files.size());
    table_.files.push_back(path);
    file_name_ = file_name_of(path);
    last_station_.reset();
    TableRows table =
        TRY(open_table(file_name_, std::move(bytes), recipe_.format, recoder_, recipe_.where));
    const HeaderNames header(table.header, recoder_);
    signs_.begin_file(header);
    const auto begun = begin_columns(header, begin);
    if (!begun)
        return fail(with_suspicion(within_archive(begun.error(), recipe_.path, table_.files),
                                   table.reader));
    fields_ = table.header.size();
    CsvRow row;
    while (true) {
        const auto more = TRY(table.reader.next(row));
        if (!more) return {};
        ++table_.rows_read;
        take(row, take_row);
    }
}

Result<void> StationRows::begin_columns(const HeaderNames& header, const FileVisitor& begin) {
    columns_ = TRY(headers_.columns_of(header, file_name_));
    TRY(rows_.begin_file(header, file_name_));
    for (RowChoice& rows : rows_of_variables_) TRY(rows.begin_file(header, file_name_));
    if (positions_) TRY(positions_->begin_file(header, file_name_));
    return begin(header);
}

/// Columns may be lacking because the table is none of normals.
Error StationRows::with_suspicion(Error error, CsvReader& rows) {
    if (recipe_.record) return error;
    CsvRow row;
    while (signs_.looks()) {
        const auto more = rows.next(row);
        if (!more || !*more) break;
        signs_.note(row, recoder_);
    }
    const std::string suspicion = signs_.suspicion();
    if (!suspicion.empty()) error.hint = suspicion;
    return error;
}

Suspect StationRows::suspect_at(std::int64_t line, const std::string& station,
                                const std::string& value, const std::string& rule,
                                const std::string& action) const {
    Suspect found;
    found.source = recipe_.terms.name;
    found.file = file_name_;
    found.line = line;
    found.station = station;
    if (recipe_.layout == StationLayout::wide)
        found.variable = variable_name(recipe_.variables.front().variable);
    found.value = value;
    found.rule = rule;
    found.action = action;
    return found;
}

void StationRows::refuse_row(const CsvRow& row, const std::string& station,
                             const std::string& value, const std::string& rule) {
    report(suspect_at(row.line(), station, value, rule, "row not used"));
}

/// The fields that a station is made from, as they are in the file.
std::string StationRows::identity_fields(const CsvRow& row) const {
    std::string fields;
    for (const int column : {columns_.station, columns_.name, columns_.country, columns_.lat,
                             columns_.lon, columns_.elevation}) {
        fields += '\n';
        if (column >= 0) fields += row.field(static_cast<std::size_t>(column));
    }
    if (positions_) fields += '\n' + positions_->key_text(row, recoder_);
    return fields;
}

/// The station that a row describes; nothing, with a line in the report, if it is not valid.
std::optional<Station> StationRows::station_of(const CsvRow& row) {
    Station station;
    station.id = field(row, columns_.station);
    station.name = field(row, columns_.name);
    station.country = field(row, columns_.country);
    std::string lat = with_decimal_point(field(row, columns_.lat), recipe_.format);
    std::string lon = with_decimal_point(field(row, columns_.lon), recipe_.format);
    std::string elevation = field(row, columns_.elevation);
    if (positions_) {
        const auto place = positions_->place_of(row, recoder_);
        if (!place) {
            refuse_key(row, station.name, place.error());
            return std::nullopt;
        }
        lat = (*place)->lat;
        lon = (*place)->lon;
        if (elevation.empty()) elevation = (*place)->elevation;
        if (station.name.empty()) station.name = (*place)->name;
        if (station.country.empty()) station.country = (*place)->country;
        if (station.name.empty() && station.id.empty())
            station.id = positions_->key_text(row, recoder_);
    }
    if (station.name.empty()) station.name = station.id;
    if (station.country.empty()) station.country = recipe_.country;
    if (recipe_.only_station) {
        if (station.name.empty()) station.name = recipe_.only_station->name;
        station.position = recipe_.only_station->position;
        station.elevation_m = recipe_.only_station->elevation_m;
        return in_region(std::move(station));
    }
    const auto position = position_in_fields(lat, lon);
    if (!position) {
        const auto exchanged = position_in_fields(lon, lat);
        if (exchanged && region_.contains(*exchanged)) ++impossible_unless_exchanged_;
        refuse_row(row, station.name, lat + "," + lon, position.error());
        return std::nullopt;
    }
    station.position = *position;
    auto inside = in_region(std::move(station));
    if (inside) inside->elevation_m = elevation_m(row, elevation, inside->name);
    return inside;
}

std::optional<Station> StationRows::in_region(Station station) {
    if (!region_.contains(station.position)) {
        ++table_.tally.outside;
        if (region_.contains_exchanged(station.position)) ++inside_if_exchanged_;
        return std::nullopt;
    }
    has_station_in_region_ = true;
    return station;
}

Result<void> StationRows::check_region() const {
    if (has_station_in_region_) return {};
    const bool are_exchanged =
        impossible_unless_exchanged_ > 0 || inside_if_exchanged_ * 2 > table_.tally.outside;
    if (!are_exchanged) return {};
    return fail(ErrorCode::bad_input,
                recipe_.where + ": no station of " + recipe_.path + " is " + region_.text() +
                    ", but some would be with latitude and longitude exchanged",
                "compare the columns lat and lon with the table");
}

/// Once for each key, however many rows have it.
void StationRows::refuse_key(const CsvRow& row, const std::string& station,
                             const std::string& rule) {
    const std::string key = positions_->key_text(row, recoder_);
    constexpr std::size_t kMaxKept = 100'000;
    if (keys_refused_.contains(key)) return;
    if (keys_refused_.size() < kMaxKept) keys_refused_.insert(key);
    report(suspect_at(row.line(), station, key, rule, "its rows are not used"));
}

double StationRows::elevation_m(const CsvRow& row, const std::string& text,
                                const std::string& station) {
    if (numbers_.is_missing(text)) return kUnknown;
    const auto metres = numbers_.elevation_m(text);
    if (metres && *metres >= kLowestStationM && *metres <= kHighestStationM) return *metres;
    Suspect found = suspect_at(
        row.line(), station, metres ? text + " " + recipe_.elevation_unit : text,
        metres ? "elevation is impossible" : "elevation cannot be read", "treated as unknown");
    found.variable = variable_name(Variable::elevation);
    report(found);
    return kUnknown;
}

bool StationRows::is_whole(const CsvRow& row) {
    constexpr std::string_view kEndOfFile = "\x1A";  // of systems long gone
    if (row.size() == 1 && row.field(0) == kEndOfFile) return false;
    const std::string station = field(row, columns_.name < 0 ? columns_.station : columns_.name);
    if (!row.problem().empty()) {
        refuse_row(row, station, "", std::string(row.problem()));
    } else if (row.size() != fields_) {
        refuse_row(
            row, station,
            std::to_string(row.size()) + " fields, " + std::to_string(fields_) + " in the header",
            "not as many fields as the header has");
    } else {
        return true;
    }
    return false;
}

/// The recipe's variables that the row holds.
std::vector<std::size_t> StationRows::variables_in(const CsvRow& row) {
    std::vector<std::size_t> chosen;
    for (std::size_t v = 0; v < rows_of_variables_.size(); ++v)
        if (rows_of_variables_[v].chooses(row, recoder_)) chosen.push_back(v);
    return chosen;
}

void StationRows::take(const CsvRow& row, const RowVisitor& take_row) {
    if (!is_whole(row) || !rows_.chooses(row, recoder_)) return;
    signs_.note(row, recoder_);
    std::vector<std::size_t> own;
    if (all_variables_.empty()) own = variables_in(row);
    const std::vector<std::size_t>& variables = all_variables_.empty() ? own : all_variables_;
    if (variables.empty()) return;
    std::string fields = recipe_.record ? identity_fields(row) : std::string();
    const bool is_same = recipe_.record && last_station_ && fields == last_fields_;
    if (!is_same) {
        last_station_ = station_of(row);
        last_fields_ = std::move(fields);
    }
    if (last_station_) take_row(row, *last_station_, is_same, variables);
}

StationTable StationRows::take_table(std::vector<Station> stations,
                                     const std::vector<std::int32_t>& files_of_stations) {
    const std::vector<std::string>& files = table_.files;
    table_.stations = std::move(stations);
    if (std::is_sorted(files.begin(), files.end())) return std::move(table_);
    std::vector<std::size_t> order(table_.stations.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto file_of = [&](std::size_t station) -> const std::string& {
        return files[static_cast<std::size_t>(files_of_stations[station])];
    };
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return file_of(a) < file_of(b); });
    std::vector<Station> sorted;
    sorted.reserve(order.size());
    for (const std::size_t station : order) sorted.push_back(std::move(table_.stations[station]));
    table_.stations = std::move(sorted);
    return std::move(table_);
}

}  // namespace thirstline
