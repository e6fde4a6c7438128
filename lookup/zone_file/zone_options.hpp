// A single zone from the command line: one option for every key of a zone file, with the same name.
#pragma once

#include <string>

#include "lookup/zone_file/option_texts.hpp"
#include "lookup/zone_file/zone_set.hpp"
#include "schema/base/result.hpp"

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
    /// Errors: those of zone_set_of_texts.
    [[nodiscard]] Result<ZoneSet> zone_set_of_options() const;

    /// The first option that was given, for messages.
    [[nodiscard]] std::string first_given() const;

  private:
    OptionTexts texts_;
};

}  // namespace thirstline
