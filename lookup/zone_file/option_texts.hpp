// A single zone from the texts of options: what the command is given, and what a form's fields
// hold.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/zone_file/zone_set.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// One for each of zone_keys(), in their order; empty where the option was not given.
using OptionTexts = std::vector<std::optional<std::string>>;

/// The zone that the options describe, with its rules and price.
/// Errors (usage), each naming the options: a value that does not fit, and the errors of zone_set.
[[nodiscard]] Result<ZoneSet> zone_set_of_texts(const OptionTexts& texts);

}  // namespace thirstline
