// `thirstline-lookup info`: what a database says of itself.
#pragma once

#include <string>

#include "lookup/command.hpp"
#include "lookup/common_options.hpp"

namespace thirstline {

class InfoCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "info"; }
    [[nodiscard]] const char* purpose() const override {
        return "What a database holds, from which sources, and under which licences";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    DatabaseOption database_;
    std::string format_ = "text";
};

}  // namespace thirstline
