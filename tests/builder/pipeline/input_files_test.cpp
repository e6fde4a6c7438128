// Inputs that change while a build reads them.
#include "builder/pipeline/input_files.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>

#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using test::write_text;

class InputFilesTest : public testing::Test {
  protected:
    std::string file(const std::string& text) {
        const std::string path = folder_.path("rain.csv");
        write_text(path, text);
        return path;
    }
    void replace(const std::string& path, const std::string& text) {
        write_text(path + ".new", text);
        std::filesystem::rename(path + ".new", path);
    }
    static void expect_changed(const Result<void>& result) {
        ASSERT_FALSE(result);
        EXPECT_EQ(result.error().code, ErrorCode::bad_input);
        EXPECT_EQ(result.error().message.substr(0, 10), "a.toml:3: ");
        EXPECT_NE(result.error().message.find("rain.csv changed while it was read"),
                  std::string::npos);
    }
    Result<void> unchanged(const std::string& path) {
        const auto file = inputs_.unchanged(path, "a.toml:3");
        if (!file) return fail(file.error());
        return {};
    }

    test::Region folder_;
    InputFiles inputs_;
};

TEST_F(InputFilesTest, NamesAFileAndItsChecksum) {
    const std::string path = file("abc");
    inputs_.note(path);
    ASSERT_TRUE(inputs_.add(path, "a.toml:3"));
    const auto file = inputs_.unchanged(path, "a.toml:3");
    ASSERT_TRUE(file);
    EXPECT_EQ(file->name, "rain.csv");
    // FIPS 180-2, appendix B.1.
    EXPECT_EQ(file->sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST_F(InputFilesTest, NoticesAFileThatWasOverwrittenOrReplaced) {
    const std::string path = file("old");
    ASSERT_TRUE(inputs_.add(path, "a.toml:3"));
    write_text(path, "new");
    expect_changed(unchanged(path));
    replace(path, "newer");
    expect_changed(unchanged(path));
    std::filesystem::remove(path);
    EXPECT_FALSE(unchanged(path));
}

TEST_F(InputFilesTest, NoticesAFileThatWasReplacedWhileItWasOpened) {
    const std::string path = file("old");
    inputs_.note(path);
    replace(path, "new");
    expect_changed(inputs_.add(path, "a.toml:3"));
}

TEST_F(InputFilesTest, TakesTheSameBytesForTheSameFile) {
    const std::string path = file("old");
    ASSERT_TRUE(inputs_.add(path, "a.toml:3"));
    replace(path, "old");
    EXPECT_TRUE(unchanged(path));
}

TEST_F(InputFilesTest, LeavesAMissingFileToItsReader) {
    const std::string path = folder_.path("nowhere.csv");
    inputs_.note(path);
    EXPECT_TRUE(inputs_.add(path, "a.toml:3"));
    EXPECT_FALSE(unchanged(path));
}

TEST_F(InputFilesTest, DoesNotWaitForAPipe) {
    const std::string path = folder_.path("pipe");
    ASSERT_EQ(mkfifo(path.c_str(), 0600), 0);
    const auto added = inputs_.add(path, "a.toml:3");
    ASSERT_FALSE(added);
    EXPECT_EQ(added.error().message, "a.toml:3: " + path + " is a pipe or a device, not a file");
}

}  // namespace
}  // namespace thirstline
