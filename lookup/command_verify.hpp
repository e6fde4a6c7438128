// `thirstline-lookup verify`: is a database whole?
#pragma once

#include "lookup/command.hpp"
#include "lookup/common_options.hpp"

namespace thirstline {

class VerifyCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "verify"; }
    [[nodiscard]] const char* purpose() const override {
        return "Read every byte of a database and test every checksum";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    DatabaseOption database_;
};

}  // namespace thirstline
