// The command that joins several databases into one.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "builder/commands/signing_options.hpp"
#include "builder/join/join.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class JoinCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "join"; }
    [[nodiscard]] const char* purpose() const override {
        return "Join parts into one database, or layer a finer database over a coarser one";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::vector<std::string> databases_;
    std::string output_;
    JoinOptions options_;
    std::map<std::string, std::optional<std::string>> texts_;  ///< by option
    SigningOptions signing_;
};

}  // namespace thirstline
