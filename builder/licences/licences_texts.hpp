// The table of licences, embedded when the project is built.
#pragma once

namespace thirstline {

[[nodiscard]] const char* licences_toml();

}  // namespace thirstline
