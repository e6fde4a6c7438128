// The command near: the stations used for a site.
#pragma once

#include <string>

#include "lookup/commands/common_options.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class NearCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "near"; }
    [[nodiscard]] const char* purpose() const override {
        return "List the stations used for a site";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    SiteOptions site_;
    std::string units_;
    std::string format_ = "text";
    std::string database_;
};

}  // namespace thirstline
