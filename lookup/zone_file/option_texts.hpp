// A single zone from the texts of options: those of the command, or the fields of a form.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/zone_file/zone_set.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// One for each of zone_keys(), in their order; empty if the option was not given.
using OptionTexts = std::vector<std::optional<std::string>>;

/// The zone that the options describe, with its rules and price.
/// Errors (usage), each naming the options: an invalid value, and the errors of zone_set.
[[nodiscard]] Result<ZoneSet> zone_set_of_texts(const OptionTexts& texts);

}  // namespace thirstline
