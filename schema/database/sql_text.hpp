// The text of schema/database/sql/*.sql, as it was when the program was built.
#pragma once

namespace thirstline {

[[nodiscard]] const char* tables_sql();
[[nodiscard]] const char* views_sql();

}  // namespace thirstline
