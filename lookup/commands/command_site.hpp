// `thirstline-lookup site`: monthly ETo and rain of one site.
#pragma once

#include <string>

#include "lookup/commands/common_options.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class SiteCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "site"; }
    [[nodiscard]] const char* purpose() const override {
        return "Monthly reference evapotranspiration and rain of a site";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string database_;
    SiteOptions site_;
    std::string step_ = "month";
    std::string units_;
    std::string own_file_;
    std::string year_ = "mean";
    std::string format_ = "text";
};

}  // namespace thirstline
