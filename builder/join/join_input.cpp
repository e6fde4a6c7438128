#include "builder/join/join_input.hpp"

#include "schema/database/database_report.hpp"
#include "schema/database/whole_tables.hpp"

namespace thirstline {

Result<JoinInput> opened_input(const std::string& path) {
    JoinInput input;
    input.database = TRY(Database::open(path));
    TRY(check_copyable(*input.database));
    TRY(verify_database(*input.database));
    auto sources = TRY(input.database->sources());
    auto stations = TRY(input.database->stations());
    auto periods = TRY(period_rows(*input.database));
    auto methods = TRY(method_rows(*input.database));
    auto history = TRY(history_steps(*input.database));
    input.sources = std::move(sources);
    input.stations = std::move(stations);
    input.periods = std::move(periods);
    input.methods = std::move(methods);
    input.history = std::move(history);
    const std::string& rows = input.database->metadata("tile_rows");
    if (rows.empty()) return input;
    const auto ranges = parsed_tile_row_ranges(rows);
    if (!ranges) {
        return fail(ErrorCode::bad_input, path +
                                              ": the metadata tile_rows must be ranges such as "
                                              "0:3, not \"" +
                                              rows + "\"");
    }
    input.tile_rows = *ranges;
    return input;
}

}  // namespace thirstline
