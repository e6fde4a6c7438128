// A single zone from the command line: an option for every key of a zone file, in the same words.
//
// Thread safety: none; the options live for one run of the program.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lookup/zone_file/zone_set.hpp"
#include "schema/result.hpp"

namespace CLI {
class App;
}

namespace thirstline {

class ZoneOptions {
  public:
    /// `app` must not outlive this.
    void declare(CLI::App& app);

    [[nodiscard]] bool any_given() const;

    /// The zone that the options describe, with its rules and price.
    /// Errors (usage): a value that does not fit, and the errors of zone_set.
    [[nodiscard]] Result<ZoneSet> zone_set_of_options() const;

    /// The first option that was given, for messages.
    [[nodiscard]] std::string first_given() const;

  private:
    std::vector<std::optional<std::string>> texts_;  ///< one for each of zone_keys()
};

}  // namespace thirstline
