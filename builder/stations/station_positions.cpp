#include "builder/stations/station_positions.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "builder/inputs/row_conditions.hpp"
#include "builder/inputs/table_fields.hpp"
#include "builder/inputs/table_rows.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "schema/base/words.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

namespace {

// Rows of one key, such as the instruments of one place, that are nearer than this are one station;
// the same limit as for rows with one name (station_identity.hpp).
constexpr double kSamePlaceKm = 5.0;

/// As compared: "00400" is "400", and "Banff" is "BANFF".
std::string compared(const std::string& text) {
    if (text.empty() || text.find_first_not_of("0123456789") != std::string::npos)
        return ascii_lower(text);
    return text.substr(std::min(text.find_first_not_of('0'), text.size() - 1));
}

std::vector<std::string> key_of(const CsvRow& row, const std::vector<int>& columns,
                                const TextRecoder& recoder) {
    std::vector<std::string> key;
    for (const int column : columns) key.push_back(compared(text_in(row, column, recoder)));
    return key;
}

bool is_far(const StationPositions::Place& a, const StationPositions::Place& b) {
    const auto at = position_in_fields(a.lat, a.lon);
    const auto other = position_in_fields(b.lat, b.lon);
    return at && other && great_circle_km(*at, *other) > kSamePlaceKm;
}

}  // namespace

Result<StationPositions> StationPositions::read(const PositionsRecipe& recipe) {
    const std::string file = file_name_of(recipe.path);
    const TextRecoder recoder = TRY(known_encoding(recipe.format.encoding, recipe.where));
    auto bytes = TRY(vsi_bytes(recipe.path, recipe.where));
    TableRows table = TRY(open_table(file, std::move(bytes), recipe.format, recoder, recipe.where));
    const HeaderNames header(table.header, recoder);
    std::optional<Error> missing;
    const auto column_of = [&](const std::string& name) {
        const int column = header.index_of(name);
        if (column < 0 && !name.empty() && !missing)
            missing = header.lacking(name, file, recipe.where);
        return column;
    };
    std::vector<int> key_columns;
    for (const std::string& name : recipe.key_columns) key_columns.push_back(column_of(name));
    const int lat = column_of(recipe.lat_column);
    const int lon = column_of(recipe.lon_column);
    const int elevation = column_of(recipe.elevation_column);
    const int name = column_of(recipe.name_column);
    const int country = column_of(recipe.country_column);
    RowChoice choice(recipe.rows);
    if (missing) return fail(*missing);
    TRY(choice.begin_file(header, file));

    StationPositions positions(recipe);
    CsvRow row;
    while (true) {
        const auto more = TRY(table.reader.next(row));
        if (!more) break;
        if (!row.problem().empty() || !choice.chooses(row, recoder)) continue;
        Place place{text_in(row, lat, recoder),       text_in(row, lon, recoder),
                    text_in(row, elevation, recoder), text_in(row, name, recoder),
                    text_in(row, country, recoder),   row.line()};
        for (std::string* text : {&place.lat, &place.lon, &place.elevation})
            *text = with_decimal_point(std::move(*text), recipe.format);
        const auto [at, is_new] =
            positions.places_.try_emplace(key_of(row, key_columns, recoder), place);
        if (is_new) continue;
        if (is_far(at->second, place)) at->second.is_ambiguous = true;
        if (!position_in_fields(at->second.lat, at->second.lon)) at->second = std::move(place);
    }
    TRY(choice.check_chosen(file));
    if (positions.places_.empty())
        return fail(ErrorCode::bad_input, recipe.where + ": " + file + " has no row");
    return positions;
}

Result<void> StationPositions::begin_file(const HeaderNames& header, const std::string& file) {
    columns_.clear();
    for (const std::string& name : recipe_->station_columns) {
        columns_.push_back(header.index_of(name));
        if (columns_.back() < 0) return fail(header.lacking(name, file, recipe_->where));
    }
    return {};
}

tl::expected<const StationPositions::Place*, std::string> StationPositions::place_of(
    const CsvRow& row, const TextRecoder& recoder) {
    const auto found = places_.find(key_of(row, columns_, recoder));
    if (found == places_.end()) {
        if (first_lost_.empty()) first_lost_ = key_text(row, recoder);
        return tl::unexpected<std::string>("no position for its key");
    }
    any_found_ = true;
    if (found->second.is_ambiguous)
        return tl::unexpected<std::string>("several positions for its key");
    return &found->second;
}

std::string StationPositions::key_text(const CsvRow& row, const TextRecoder& recoder) const {
    std::string text;
    for (const int column : columns_) add_word(text, text_in(row, column, recoder));
    return text;
}

Result<void> StationPositions::check_found() const {
    if (any_found_ || first_lost_.empty()) return {};
    return fail(ErrorCode::bad_input,
                recipe_->where + ": " + file_name_of(recipe_->path) +
                    " has no position of any station: no value of \"" +
                    joined(recipe_->station_columns) + "\" is in its column \"" +
                    joined(recipe_->key_columns) + "\" (the first is \"" + first_lost_ + "\")",
                "compare the two columns, and name the pair with equal values, such as key = { "
                "ID = \"STATION_ID\" }");
}

}  // namespace thirstline
