// The commands that read a finished database: info and verify.
//
// Thread safety: none; a command lives for one run of the program.
#pragma once

#include <string>

#include "schema/command_line/command.hpp"

namespace thirstline {

class InfoCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "info"; }
    [[nodiscard]] const char* purpose() const override {
        return "Tell what a database holds, and where it comes from";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string database_;
    std::string format_ = "text";
};

class VerifyCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "verify"; }
    [[nodiscard]] const char* purpose() const override {
        return "Read a whole database and make sure that nothing in it is damaged";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string database_;
};

}  // namespace thirstline
