#include "builder/join/join_input.hpp"

#include "schema/database/database_report.hpp"
#include "schema/database/whole_tables.hpp"

namespace thirstline {

Result<JoinInput> opened_input(const std::string& path) {
    JoinInput input;
    auto database = Database::open(path);
    if (!database) return fail(database.error());
    input.database = std::move(*database);
    if (auto copyable = check_copyable(*input.database); !copyable) return fail(copyable.error());
    if (auto verified = verify_database(*input.database); !verified) return fail(verified.error());
    auto sources = input.database->sources();
    if (!sources) return fail(sources.error());
    auto stations = input.database->stations();
    if (!stations) return fail(stations.error());
    auto periods = period_rows(*input.database);
    if (!periods) return fail(periods.error());
    auto methods = method_rows(*input.database);
    if (!methods) return fail(methods.error());
    input.sources = std::move(*sources);
    input.stations = std::move(*stations);
    input.periods = std::move(*periods);
    input.methods = std::move(*methods);
    const std::string& rows = input.database->metadata("tile_rows");
    if (rows.empty()) return input;
    const auto ranges = parsed_tile_row_ranges(rows);
    if (!ranges) {
        return fail(ErrorCode::bad_input, path +
                                              " says in its metadata that it holds the tile "
                                              "rows \"" +
                                              rows + "\", which means nothing");
    }
    input.tile_rows = *ranges;
    return input;
}

}  // namespace thirstline
