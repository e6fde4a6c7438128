// A database to be joined with others, and its ids in the joined one.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/database/history.hpp"
#include "schema/database/tile_row_ranges.hpp"

namespace thirstline {

struct JoinInput {
    std::unique_ptr<Database> database;
    std::vector<Source> sources;
    std::vector<StationRecord> stations;
    std::vector<PeriodRow> periods;
    std::vector<MethodRow> methods;
    std::vector<HistoryStep> history;
    TileRowRanges tile_rows;  ///< the rows it was built from; empty if it was not built in parts

    [[nodiscard]] const std::string& path() const { return database->path(); }
};

/// Opened, read and verified to the last byte.
/// Errors: those of Database::open, verify_database and check_copyable.
[[nodiscard]] Result<JoinInput> opened_input(const std::string& path);

}  // namespace thirstline
