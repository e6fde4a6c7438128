// The tables of sources and ready recipes, embedded when the project is built.
#pragma once

namespace thirstline {

[[nodiscard]] const char* sources_toml();
[[nodiscard]] const char* recipes_toml();

}  // namespace thirstline
