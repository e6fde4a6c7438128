// The command that scores a recipe on left-out stations.
#pragma once

#include <string>

#include "builder/commands/recipe_options.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class EvaluateCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "evaluate"; }
    [[nodiscard]] const char* purpose() const override {
        return "Cross-validate: score the answers at stations that are left out";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    RecipeOptions recipe_;
    int folds_ = 0;
    std::string holdout_;
    double leave_out_km_ = 15.0;
    std::string leave_out_country_;
    std::string format_ = "text";
    int jobs_ = 0;
    std::string progress_ = "auto";
};

}  // namespace thirstline
