// The text of schema/database/sql/*.sql, embedded at build time.
#pragma once

namespace thirstline {

[[nodiscard]] const char* history_sql();
[[nodiscard]] const char* tables_sql();
[[nodiscard]] const char* views_sql();

}  // namespace thirstline
