#include "schema/files/file_replacement.hpp"

#include <gtest/gtest.h>
#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>

#include "schema/files/temporary_file.hpp"
#include "schema/files/whole_file.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

mode_t mode_of(const std::string& path) {
    struct stat there {};
    EXPECT_EQ(stat(path.c_str(), &there), 0) << path;
    return there.st_mode & 07777;
}

TEST(FileReplacement, KeepsTheAccessRightsOfTheOldFile) {
    const test::TemporaryFolder folder;
    const std::string path = folder.path("a.json");
    ASSERT_TRUE(write_whole_file(path, "old").has_value());
    EXPECT_EQ(mode_of(path) & 0600, 0600U);
    ASSERT_EQ(chmod(path.c_str(), 0600), 0);
    ASSERT_TRUE(write_whole_file(path, "new").has_value());
    EXPECT_EQ(mode_of(path), 0600U);
    EXPECT_EQ(test::bytes_of_file(path), "new");
}

TEST(FileReplacement, ReplacesWhatALinkPointsToAndKeepsTheLink) {
    const test::TemporaryFolder folder;
    const std::string path = folder.path("a.json");
    const std::string link = folder.path("link.json");
    ASSERT_TRUE(write_whole_file(path, "old").has_value());
    std::filesystem::create_symlink("a.json", link);
    ASSERT_TRUE(write_whole_file(link, "new").has_value());
    EXPECT_TRUE(std::filesystem::is_symlink(link));
    EXPECT_EQ(test::bytes_of_file(path), "new");
    EXPECT_EQ(folder.names().size(), 2U);
}

TEST(FileReplacement, RejectsAnIrregularFile) {
    const test::TemporaryFolder folder;
    const std::string pipe = folder.path("pipe");
    ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
    const std::string link = folder.path("link");
    std::filesystem::create_symlink("/dev/null", link);
    for (const std::string& target : {pipe, link, std::string("/dev/null"), folder.path(".")}) {
        const auto written = write_whole_file(target, "text");
        ASSERT_FALSE(written.has_value()) << target;
        EXPECT_EQ(written.error().code, ErrorCode::io) << written.error().message;
    }
    EXPECT_TRUE(std::filesystem::is_character_file("/dev/null"));
    EXPECT_TRUE(std::filesystem::is_fifo(pipe));
    EXPECT_EQ(folder.names().size(), 2U);
}

TEST(Leftovers, OfKilledProcessesAreRemovedByTheNext) {
    const test::TemporaryFolder folder;
    const std::string target = folder.path("a.json");
    const pid_t child = fork();
    if (child == 0) {
        const auto half = TemporaryFile::beside(target);
        for (;;) pause();
    }
    ASSERT_GT(child, 0);
    while (folder.names().empty()) usleep(1000);
    ASSERT_EQ(kill(child, SIGKILL), 0);
    ASSERT_EQ(waitpid(child, nullptr, 0), child);
    ASSERT_EQ(folder.names().size(), 1U);
    // As many as there are names to try, of this very process's number.
    for (int attempt = 0; attempt < 100; ++attempt)
        test::write_bytes(target + partial_suffix(attempt), "half");
    ASSERT_TRUE(write_whole_file(target, "whole").has_value());
    EXPECT_EQ(folder.names(), std::vector<std::string>{"a.json"});
}

TEST(SecondWriter, FailsWithoutHarmToTheFirst) {
    const test::TemporaryFolder folder;
    const std::string target = folder.path("a.sqlite");
    const pid_t child = fork();
    if (child == 0) {
        const auto file = TemporaryFile::beside(target);
        for (;;) pause();
    }
    ASSERT_GT(child, 0);
    while (folder.names().empty()) usleep(1000);
    Result<void> refused;
    for (int attempt = 0; attempt < 1000 && refused; ++attempt) {  // until the child has its lock
        refused = refuse_second_writer(target);
        usleep(1000);
    }
    ASSERT_FALSE(refused);
    EXPECT_NE(refused.error().message.find("another program is writing"), std::string::npos);
    ASSERT_EQ(kill(child, SIGKILL), 0);
    ASSERT_EQ(waitpid(child, nullptr, 0), child);
    EXPECT_TRUE(refuse_second_writer(target));

    // Two that have begun in the same moment, here in one process.
    auto first = TemporaryFile::beside(target);
    auto second = TemporaryFile::beside(target);
    ASSERT_TRUE(first && second);
    EXPECT_TRUE(refuse_second_writer(target));
    test::write_bytes(first->path(), "first");
    test::write_bytes(second->path(), "second");
    ASSERT_TRUE(first->move_to_new(target));
    const auto moved = second->move_to_new(target);
    ASSERT_FALSE(moved);
    EXPECT_EQ(moved.error().code, ErrorCode::io);
    EXPECT_NE(moved.error().message.find("in the meantime"), std::string::npos);
    second->discard();
    EXPECT_EQ(test::bytes_of_file(target), "first");
    EXPECT_EQ(folder.names(), std::vector<std::string>{"a.sqlite"});
}

TEST(Leftovers, AreNotWhatALivingProcessIsAtOrHasAnotherName) {
    const test::TemporaryFolder folder;
    const std::string target = folder.path("a.json");
    const std::string other = target + ".partial-notes";
    test::write_bytes(other, "mine");
    const auto first = TemporaryFile::beside(target);
    ASSERT_TRUE(first.has_value());
    const auto second = TemporaryFile::beside(target);
    ASSERT_TRUE(second.has_value());
    EXPECT_NE(first->path(), second->path());
    EXPECT_TRUE(std::filesystem::exists(first->path()));
    EXPECT_TRUE(std::filesystem::exists(other));
}

}  // namespace
}  // namespace thirstline
