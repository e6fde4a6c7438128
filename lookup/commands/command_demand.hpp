// `thirstline-lookup demand`: the water needs of a site's zones, month by month, and the settings
// of their controller.
#pragma once

#include <string>

#include "lookup/commands/common_options.hpp"
#include "lookup/zone_file/zone_options.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class DemandCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "demand"; }
    [[nodiscard]] const char* purpose() const override {
        return "Water need, run times and cost of a site's zones";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    /// Those of the command line, else those of the job.
    [[nodiscard]] SiteOptions site_options(const JobSheet& job) const;

    /// From the zone file or the options, whichever were given.
    [[nodiscard]] Result<ZoneSet> zones() const;

    /// The year of a calendar file: the option's, or that of the job's date. Errors: usage.
    [[nodiscard]] Result<int> calendar_year(const JobSheet& job) const;

    std::string database_;
    SiteOptions site_;
    std::string zone_file_;
    ZoneOptions zone_options_;
    std::string units_;
    std::string own_file_;
    std::string year_ = "mean";
    std::string format_ = "text";
    std::string width_;
    std::string calendar_year_;
    std::string language_;
};

}  // namespace thirstline
