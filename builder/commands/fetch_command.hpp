// The command fetch: downloads the files of a recipe.
#pragma once

#include <string>

#include "builder/fetch/http_client.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class FetchCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "fetch"; }
    [[nodiscard]] const char* purpose() const override {
        return "Download the files that a recipe names, and lock their checksums";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string recipe_;
    std::string folder_;
    bool dry_run_ = false;
    int timeout_s_ = kDefaultSilentSeconds;
    int retry_delay_s_ = kDefaultRetryDelaySeconds;
    std::string progress_ = "auto";
};

}  // namespace thirstline
