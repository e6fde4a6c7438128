// The command that tells what has changed from one database to another.
#pragma once

#include <string>

#include "schema/command_line/command.hpp"

namespace thirstline {

class CompareCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "compare"; }
    [[nodiscard]] const char* purpose() const override {
        return "Compare two databases, such as two editions: what has changed, and by how much";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string before_;
    std::string after_;
    std::string format_ = "text";
};

}  // namespace thirstline
