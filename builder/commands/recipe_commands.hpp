// The commands that read a recipe: build and check.
#pragma once

#include <string>

#include "builder/commands/recipe_options.hpp"
#include "builder/commands/signing_options.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class BuildCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "build"; }
    [[nodiscard]] const char* purpose() const override {
        return "Read every source of a recipe and write the database";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    [[nodiscard]] Result<Outcome> print_plan(TextSink& out);
    [[nodiscard]] Result<void> check_outputs() const;

    RecipeOptions recipe_;
    std::string output_;
    bool overwrite_ = false;
    int jobs_ = 0;
    std::string tile_rows_;
    std::string part_;
    int plan_ = 0;
    std::string progress_ = "auto";
    std::string report_;
    SigningOptions signing_;
};

class CheckCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "check"; }
    [[nodiscard]] const char* purpose() const override {
        return "Check every source of a recipe and report suspect values; writes nothing";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    RecipeOptions recipe_;
    bool strict_ = false;
    std::string format_ = "text";
};

}  // namespace thirstline
