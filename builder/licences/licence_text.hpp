// A summary of licences for people and for programs.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "builder/licences/licences.hpp"

namespace thirstline {

/// Some lines, each with its end. States that it is information, and how well it is known.
[[nodiscard]] std::string licence_summary_text(const LicenceSummary& summary);

/// {"may_be_passed_on": "yes", "commercial_use": "no", …}; the first two are "yes", "no" or
/// "unclear".
[[nodiscard]] nlohmann::ordered_json licence_summary_json(const LicenceSummary& summary);

}  // namespace thirstline
