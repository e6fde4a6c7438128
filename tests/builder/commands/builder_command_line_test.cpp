// The builder's command line: help, versions, usage errors, and an output that cannot be written.
#include <gtest/gtest.h>

#include "schema/base/version.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using test::builder;
using test::ProgramRun;
using test::Region;
using test::RunOptions;

class BuilderCommandLine : public testing::Test {
  protected:
    // Not in SetUpTestSuite: what fails there skips the tests, and a skipped test is not a red one.
    void SetUp() override {
        if (region_ == nullptr) make_region();
    }
    static void make_region() {
        region_ = new Region;
        region_->add_plain_grids(north_up(8.0, 51.0, 1.0, 8, 8));
        recipe_ = new std::string(region_->write_recipe());
        region_->build("merrow.sqlite");
        database_ = new std::string(region_->path("merrow.sqlite"));
    }
    static void TearDownTestSuite() {
        delete region_;
        delete recipe_;
        delete database_;
    }
    static Region* region_;
    static std::string* recipe_;
    static std::string* database_;
};
Region* BuilderCommandLine::region_ = nullptr;
std::string* BuilderCommandLine::recipe_ = nullptr;
std::string* BuilderCommandLine::database_ = nullptr;

TEST_F(BuilderCommandLine, HelpHasPurposeExamplesAndExitCodes) {
    for (const char* command : {"build", "check", "info", "verify"}) {
        for (const char* flag : {"--help", "-h"}) {
            const ProgramRun run = builder({command, flag});
            EXPECT_EQ(run.status, 0);
            EXPECT_EQ(run.err, "");
            for (const char* part : {"Usage:", "Examples:", "Exit codes:", "--version", "130"})
                EXPECT_NE(run.out.find(part), std::string::npos) << command << " " << part;
            EXPECT_NE(run.out.find("  thirstline-builder " + std::string(command) + " "),
                      std::string::npos)
                << run.out;
        }
    }
    const ProgramRun all = builder({"--help"});
    EXPECT_EQ(all.status, 0);
    for (const char* command : {"build", "check", "info", "verify", "Examples:", "Exit codes:"})
        EXPECT_NE(all.out.find(command), std::string::npos);
}

TEST_F(BuilderCommandLine, EveryCommandHasItsVersion) {
    const std::string version = std::string("thirstline-builder ") + kProgramVersion + "\n";
    EXPECT_EQ(builder({"--version"}).out, version);
    for (const char* command : {"build", "check", "info", "verify"}) {
        const ProgramRun run = builder({command, "--version"});
        EXPECT_EQ(run.status, 0);
        EXPECT_EQ(run.out, version);
        EXPECT_EQ(run.err, "");
    }
}

TEST_F(BuilderCommandLine, WrongUseIsTwo) {
    const std::vector<std::vector<std::string>> wrong{
        {},
        {"bild"},
        {"build"},
        {"check"},
        {"verify"},
        {"info"},
        {"build", *recipe_},
        {"build", *recipe_, "-o", region_->path("x.sqlite"), "--jobs", "0"},
        {"build", *recipe_, "-o", region_->path("x.sqlite"), "--jobs", "-2"},
        {"build", *recipe_, "-o", region_->path("x.sqlite"), "--jobs", "many"},
        {"build", *recipe_, "-o", region_->path("x.sqlite"), "--progress", "sometimes"},
        {"build", *recipe_, "-o", region_->path("x.sqlite"), "--fast"},
        {"build", *recipe_, "-o", region_->path("x.sqlite"), "more"},
        {"check", *recipe_, "--format", "xml"},
        {"info", *database_, "--format", "csv"},
    };
    for (const auto& arguments : wrong) {
        const ProgramRun run = builder(arguments);
        EXPECT_EQ(run.status, 2) << run.err;
        EXPECT_EQ(run.out, "");
        EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    }
}

TEST_F(BuilderCommandLine, ARecipeThatIsNotThereIsFiveAndAWrongOneThree) {
    EXPECT_EQ(builder({"check", region_->path("nowhere.toml")}).status, 5);
    test::write_text(region_->path("bad.toml"), "title = \n");
    const ProgramRun run = builder({"check", region_->path("bad.toml")});
    EXPECT_EQ(run.status, 3);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_NE(run.err.find("bad.toml:1:"), std::string::npos) << run.err;
}

TEST_F(BuilderCommandLine, InfoAndVerifyReadAFinishedFile) {
    const ProgramRun verify = builder({"verify", *database_});
    EXPECT_EQ(verify.status, 0);
    EXPECT_NE(verify.out, "");
    EXPECT_EQ(verify.err, "");
    EXPECT_NE(builder({"info", *database_}).out.find("The Merrow valley"), std::string::npos);
    EXPECT_EQ(builder({"info", *database_, "--format", "json"}).out.front(), '{');

    std::string damaged = test::content_of(*database_);
    damaged[damaged.size() / 2] = static_cast<char>(damaged[damaged.size() / 2] ^ 0x40);
    test::write_text(region_->path("damaged.sqlite"), damaged);
    const ProgramRun run = builder({"verify", region_->path("damaged.sqlite")});
    EXPECT_EQ(run.status, 4);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_EQ(builder({"info", *recipe_}).status, 4);
    EXPECT_EQ(builder({"info", region_->path("nowhere.sqlite")}).status, 5);
}

TEST_F(BuilderCommandLine, AnOutputThatCannotBeWrittenIsFive) {
    RunOptions full;
    full.standard_output = "/dev/full";
    const std::vector<std::vector<std::string>> commands{
        {"check", *recipe_},  {"check", *recipe_, "--format", "json"},
        {"info", *database_}, {"verify", *database_},
        {"--help"},           {"--version"},
        {"build", "--help"}};
    for (const auto& arguments : commands) {
        const ProgramRun run = builder(arguments, full);
        EXPECT_EQ(run.status, 5) << arguments.front();
        EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
        EXPECT_NE(run.err.find("standard output"), std::string::npos) << run.err;
    }
}

}  // namespace
}  // namespace thirstline
