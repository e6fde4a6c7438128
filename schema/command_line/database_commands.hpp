// The commands info and verify, which both programs have.
#pragma once

#include <memory>
#include <string>

#include "schema/command_line/command.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// How a program names the file that it reads.
enum class DatabaseNaming {
    option,    ///< --db FILE, or the environment variable
    argument,  ///< an argument of the command
};

/// Errors: usage if no file is named; those of Database::open.
[[nodiscard]] Result<std::unique_ptr<Database>> open_database(const std::string& path,
                                                              const Environment& environment);

class InfoCommand final : public Command {
  public:
    InfoCommand(const char* program, DatabaseNaming naming) : program_(program), naming_(naming) {}
    [[nodiscard]] const char* name() const override { return "info"; }
    [[nodiscard]] const char* purpose() const override {
        return "Show the contents and sources of the database";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    const char* program_;
    DatabaseNaming naming_;
    std::string database_;
    std::string format_ = "text";
    bool recipe_ = false;
    int step_ = 0;  ///< of the history; 0: the only build
};

class VerifyCommand final : public Command {
  public:
    VerifyCommand(const char* program, DatabaseNaming naming)
        : program_(program), naming_(naming) {}
    [[nodiscard]] const char* name() const override { return "verify"; }
    [[nodiscard]] const char* purpose() const override {
        return "Read all tables of the database and check them for damage";
    }
    void declare(CLI::App& app) override;
    [[nodiscard]] Result<Outcome> run(const Environment& environment, TextSink& out) override;

  private:
    const char* program_;
    DatabaseNaming naming_;
    std::string database_;
    std::string key_;
    std::string signature_;
};

}  // namespace thirstline
