// A build that fails leaves nothing behind, and an existing output unchanged.
#include <gtest/gtest.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <functional>
#include <stdexcept>

#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using test::builder;
using test::content_of;
using test::names_in;
using test::ProgramRun;
using test::Region;
using test::RunOptions;
using test::write_text;

class BuildFailures : public testing::Test {
  protected:
    void SetUp() override {
        region_.add_plain_grids(north_up(8.0, 51.0, 0.25, 32, 32));
        region_.lattice = "spacing_arcsec = 360\nbbox = [8.3, 43.4, 15.6, 50.3]\n";
        recipe_ = region_.write_recipe();
        output_ = region_.path("out.sqlite");
    }
    /// Some five hundred thousand points: a second or more of work, and tens of megabytes.
    void make_it_large() {
        region_.lattice = "spacing_arcsec = 36\nbbox = [8.3, 43.4, 15.6, 50.3]\n";
        recipe_ = region_.write_recipe();
    }
    /// The command, which replaces the output, ends so, and the output is as before.
    ProgramRun expect_untouched(std::vector<std::string> more, const RunOptions& options,
                                int status, const std::string& says) {
        write_text(output_, "existing content");
        const auto before = names_in(region_.folder());
        std::vector<std::string> arguments{"build", recipe_, "-o", output_, "--overwrite"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        const ProgramRun run = builder(arguments, options);
        EXPECT_EQ(run.status, status) << run.err;
        EXPECT_EQ(run.out, "");
        EXPECT_NE(run.err.find(says), std::string::npos) << run.err;
        EXPECT_EQ(names_in(region_.folder()), before);
        EXPECT_EQ(content_of(output_), "existing content");
        return run;
    }
    void expect_error(const std::vector<std::string>& arguments, int status,
                      const std::string& says) {
        const auto before = names_in(region_.folder());
        const ProgramRun run = builder(arguments);
        EXPECT_EQ(run.status, status) << run.err;
        EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
        EXPECT_NE(run.err.find(says), std::string::npos) << run.err;
        EXPECT_EQ(names_in(region_.folder()), before);
    }

    Region region_;
    std::string recipe_;
    std::string output_;
};

TEST_F(BuildFailures, AnExistingOutputIsRefusedUnlessItMayBeReplaced) {
    write_text(output_, "existing content");
    expect_error({"build", recipe_, "-o", output_}, 2, "out.sqlite already exists");
    EXPECT_EQ(content_of(output_), "existing content");
    EXPECT_EQ(builder({"build", recipe_, "-o", output_, "--overwrite"}).status, 0);
    EXPECT_EQ(builder({"verify", output_}).status, 0);
}

TEST_F(BuildFailures, CtrlCInTheMiddle) {
    make_it_large();
    RunOptions options;
    options.interrupt_after = "\"build points\",\"done\":0";
    const ProgramRun run = expect_untouched({"--progress", "json"}, options, 130, "interrupted");
    // At once, that is, and not when the points are done.
    const auto total = run.err.find("\"total\":", run.err.find("\"build points\""));
    const std::string points = run.err.substr(total + 8, run.err.find('}', total) - total - 8);
    EXPECT_GT(std::stoi(points), 50);
    EXPECT_EQ(run.err.find("\"done\":" + points + ","), std::string::npos) << run.err;
}

TEST_F(BuildFailures, CtrlCBeforeTheFirstPoint) {
    make_it_large();
    RunOptions options;
    options.interrupt_after = "\"survey\",\"done\":0";
    expect_untouched({"--progress", "json"}, options, 130, "interrupted");
}

TEST_F(BuildFailures, AFullDiskAtTheEnd) {
    RunOptions options;
    options.most_bytes_of_a_file = 100'000;
    expect_untouched({}, options, 5, "out.sqlite");
}

TEST_F(BuildFailures, AFullDiskInTheMiddle) {
    make_it_large();
    RunOptions options;
    options.most_bytes_of_a_file = 20'000'000;
    expect_untouched({}, options, 5, "out.sqlite");
}

TEST_F(BuildFailures, AFolderThatIsNotThere) {
    expect_error({"build", recipe_, "-o", region_.path("nowhere/out.sqlite")}, 5,
                 "nowhere/out.sqlite failed: No such file or directory");
}

TEST_F(BuildFailures, AFolderThatCannotBeWrittenTo) {
    const std::string folder = region_.path("locked");
    std::filesystem::create_directory(folder);
    std::filesystem::permissions(folder, std::filesystem::perms(0555));
    if (access(folder.c_str(), W_OK) == 0) GTEST_SKIP() << "this user may write everywhere";
    expect_error({"build", recipe_, "-o", folder + "/out.sqlite"}, 5, "Permission denied");
    expect_error({"build", recipe_, "-o", output_, "--report", folder + "/r.json"}, 5,
                 "Permission denied");
}

// Nobody, not even the superuser, makes a file there.
TEST_F(BuildFailures, ReportsAFileSystemWithoutFiles) {
    if (!std::filesystem::exists("/proc/self")) GTEST_SKIP() << "no /proc";
    expect_error({"build", recipe_, "-o", "/proc/out.sqlite"}, 5,
                 "writing /proc/out.sqlite failed");
}

TEST_F(BuildFailures, RejectsAnOutputThatIsNotAFile) {
    expect_error({"build", recipe_, "-o", region_.folder()}, 2, "is a folder");
    expect_error({"build", recipe_, "-o", region_.folder(), "--overwrite"}, 2, "is a folder");
    expect_error({"build", recipe_, "-o", ""}, 2, "--output");
    expect_error({"build", recipe_}, 2, "--output");
}

// The report is written last, but what is wrong with its place is known first.
TEST_F(BuildFailures, AReportThatCannotBeWrittenCostsNoBuild) {
    expect_error({"build", recipe_, "-o", output_, "--report", region_.path("nowhere/r.json")}, 5,
                 "nowhere/r.json");
    expect_error({"build", recipe_, "-o", output_, "--report", region_.folder()}, 2, "is a folder");
}

TEST_F(BuildFailures, KeepsAnExistingReportWithoutOverwrite) {
    const std::string report = region_.path("r.json");
    write_text(report, "notes of mine");
    expect_error({"build", recipe_, "-o", output_, "--report", report}, 2, "already exists");
    EXPECT_EQ(content_of(report), "notes of mine");
    expect_error({"build", recipe_, "-o", output_, "--report", "/dev/null", "--overwrite"}, 2,
                 "not a regular file");
    EXPECT_TRUE(std::filesystem::is_character_file("/dev/null"));
    std::filesystem::permissions(report, std::filesystem::perms(0600));
    const auto run = builder({"build", recipe_, "-o", output_, "--report", report, "--overwrite"});
    EXPECT_EQ(run.status, 0) << run.err;
    EXPECT_NE(content_of(report), "notes of mine");
    EXPECT_EQ(std::filesystem::status(report).permissions(), std::filesystem::perms(0600));
}

TEST_F(BuildFailures, OnlyRegularFilesAreReplaced) {
    expect_error({"build", recipe_, "-o", "/dev/null", "--overwrite"}, 2, "not a regular file");
    const std::string link = region_.path("link.sqlite");
    write_text(output_, "existing content");
    std::filesystem::create_symlink("out.sqlite", link);
    EXPECT_EQ(builder({"build", recipe_, "-o", link, "--overwrite"}).status, 0);
    EXPECT_TRUE(std::filesystem::is_symlink(link));
    EXPECT_NE(content_of(output_), "existing content");
}

TEST_F(BuildFailures, WhatAKilledBuildLeftIsGoneAfterTheNext) {
    for (const char* end : {"1", "4711", "4711-1", "4711-99"})
        write_text(output_ + ".partial-" + end, "half");
    EXPECT_EQ(builder({"build", recipe_, "-o", output_}).status, 0);
    for (const std::string& name : names_in(region_.folder()))
        EXPECT_EQ(name.find(".partial-"), std::string::npos) << name;
}

TEST_F(BuildFailures, NoOutputTakesThePlaceOfAnotherOrOfTheRecipe) {
    const std::string recipe = content_of(recipe_);
    expect_error({"build", recipe_, "-o", recipe_, "--overwrite"}, 2, "same file");
    expect_error({"build", recipe_, "-o", output_, "--report", recipe_}, 2, "same file");
    expect_error({"build", recipe_, "-o", output_, "--report", output_}, 2, "same file");
    expect_error({"build", recipe_, "-o", output_, "--report", region_.path("./out.sqlite")}, 2,
                 "same file");
    EXPECT_EQ(content_of(recipe_), recipe);
}

TEST_F(BuildFailures, AnInputThatChangesInTheMiddle) {
    make_it_large();
    const std::string rain = region_.path("rain.tif");
    const std::string old = content_of(rain);
    RunOptions options;
    options.interrupt_after = "\"build points\",\"done\":0";
    const auto replaced = [&] { std::filesystem::rename(rain + ".new", rain); };
    const auto overwritten = [&] { write_text(rain, old + " "); };
    for (const std::function<void()>& change :
         {std::function<void()>(replaced), std::function<void()>(overwritten)}) {
        options.then = [&] {
            write_text(rain + ".new", old + " ");
            change();
            std::filesystem::remove(rain + ".new");
        };
        expect_untouched({"--progress", "json"}, options, 3, "rain.tif changed while it was read");
        write_text(rain, old);
    }
}

TEST_F(BuildFailures, APipeIsNotWaitedFor) {
    const std::string pipe = region_.path("pipe");
    ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
    region_.rest =
        "[[postal]]\ncountry = \"XM\"\npath = \"pipe\"\nlayout = \"csv\"\n"
        "columns = { code = \"code\", lat = \"lat\", lon = \"lon\" }\n";
    recipe_ = region_.write_recipe();
    expect_error({"build", recipe_, "-o", output_}, 3, "pipe is a pipe or a device, not a file");
    expect_error({"check", recipe_}, 3, "pipe is a pipe or a device, not a file");
    region_.rest = "";
    recipe_ = region_.write_recipe();
    std::filesystem::remove(region_.path("rain.tif"));
    std::filesystem::rename(pipe, region_.path("rain.tif"));
    expect_error({"check", recipe_}, 3, "rain.tif is a pipe or a device, not a file");
}

/// It takes the connection and never answers.
class SilentServer {
  public:
    SilentServer() : socket_(socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
        address_.sin_family = AF_INET;
        address_.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        socklen_t size = sizeof address_;
        if (bind(socket_, reinterpret_cast<sockaddr*>(&address_), size) != 0 ||
            listen(socket_, 8) != 0 ||
            getsockname(socket_, reinterpret_cast<sockaddr*>(&address_), &size) != 0)
            throw std::runtime_error("no server");
    }
    ~SilentServer() { close(socket_); }
    SilentServer(const SilentServer&) = delete;
    SilentServer& operator=(const SilentServer&) = delete;
    [[nodiscard]] std::string port() const { return std::to_string(ntohs(address_.sin_port)); }

  private:
    int socket_;
    sockaddr_in address_{};
};

TEST_F(BuildFailures, CtrlCWhileAServerIsSilent) {
    const SilentServer server;
    region_.rest =
        "[[postal]]\ncountry = \"XM\"\npath = \"/vsicurl/http://127.0.0.1:" + server.port() +
        "/codes.csv\"\nlayout = \"csv\"\n"
        "columns = { code = \"code\", lat = \"lat\", lon = \"lon\" }\n";
    recipe_ = region_.write_recipe();
    RunOptions options;
    options.interrupt_after = "\"open the sources\",\"done\":0";
    const ProgramRun run =
        builder({"build", recipe_, "-o", output_, "--progress", "json"}, options);
    EXPECT_EQ(run.status, 130) << run.err;
    EXPECT_NE(run.err.find("interrupted"), std::string::npos) << run.err;
    EXPECT_FALSE(std::filesystem::exists(output_));
    // What such an end leaves, the next build removes.
    region_.rest = "";
    ASSERT_EQ(builder({"build", region_.write_recipe(), "-o", output_}).status, 0);
    for (const std::string& name : names_in(region_.folder()))
        EXPECT_EQ(name.find(".partial-"), std::string::npos) << name;
}

}  // namespace
}  // namespace thirstline
