// The commands that show what the program knows of open sources: sources and recipe.
#pragma once

#include <string>

#include "schema/command_line/command.hpp"

namespace thirstline {

class SourcesCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "sources"; }
    [[nodiscard]] const char* purpose() const override {
        return "List open sources of climate normals, or print one as a part of a recipe";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string source_;
    std::string format_ = "text";
};

class RecipeCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "recipe"; }
    [[nodiscard]] const char* purpose() const override {
        return "Print a ready recipe of a region, or list them, or the keys of a recipe";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string recipe_;
    bool shows_keys_ = false;
    std::string format_ = "text";
};

}  // namespace thirstline
