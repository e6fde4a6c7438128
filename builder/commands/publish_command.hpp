// The command that writes a database as a folder for a static host.
#pragma once

#include <string>

#include "builder/commands/signing_options.hpp"
#include "builder/publish/publish.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class PublishCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "publish"; }
    [[nodiscard]] const char* purpose() const override {
        return "Write a website: a page that works offline, a report and downloads";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string database_;
    SigningOptions signing_;
    bool accept_licence_ = false;
    std::vector<std::string> downloads_;
    PublishOptions options_;
};

}  // namespace thirstline
