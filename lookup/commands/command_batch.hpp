// `thirstline-lookup batch`: a table of sites in, one record per site out.
#pragma once

#include <string>

#include "lookup/commands/common_options.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class BatchCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "batch"; }
    [[nodiscard]] const char* purpose() const override {
        return "Monthly values of many sites: a CSV table in, one record for each row out";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string database_;
    std::string input_ = "-";
    std::string format_ = "csv";
    std::string year_ = "mean";
    int jobs_ = 0;  ///< 0: one per core
    bool allow_missing_ = false;
};

}  // namespace thirstline
