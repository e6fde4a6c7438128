// The command that writes a database, or a part of it, in another format.
#pragma once

#include <string>
#include <vector>

#include "builder/export/site_selection.hpp"
#include "schema/command_line/command.hpp"

namespace thirstline {

class ExportCommand final : public Command {
  public:
    [[nodiscard]] const char* name() const override { return "export"; }
    [[nodiscard]] const char* purpose() const override {
        return "Write the database, or a part of it, in another format";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    std::string database_;
    std::string format_;
    std::string output_;
    bool overwrite_ = false;
    SelectionOptions selection_;
    std::vector<std::string> variables_;
    int lattice_id_ = 0;
    int page_bytes_ = 0;
    bool with_gradients_ = false;
};

}  // namespace thirstline
