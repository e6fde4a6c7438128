// Changes of a file while it is open: replaced by renaming, overwritten, truncated. And paths that
// are not files.
#include "schema/database/opened_file.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <thread>

#include "schema/database/database.hpp"
#include "schema/database/database_report.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

/// Beyond the step of the file system's clock.
void wait_a_moment() {
    std::this_thread::sleep_for(std::chrono::milliseconds(30));
}

class OpenedFile : public testing::Test {
  protected:
    OpenedFile() : path_(test::merrow_database()) { wait_a_moment(); }

    [[nodiscard]] std::unique_ptr<Database> opened(FileAccess access = FileAccess::read) const {
        auto database = Database::open(path_, access);
        EXPECT_TRUE(database.has_value()) << database.error().message;
        return std::move(*database);
    }

    const std::string path_;
    const LatLonE7 site_{472'500'000, -305'000'000};
    const LatLonE7 other_site_{478'000'000, -302'000'000};
};

TEST_F(OpenedFile, IsReadOnWhateverTakesItsName) {
    for (const FileAccess access : {FileAccess::read, FileAccess::mapped}) {
        const auto database = opened(access);
        const auto before = database->answer(site_);
        ASSERT_TRUE(before.has_value());
        const std::string other = test::merrow_database({.no_eto_at_all = true});
        std::filesystem::rename(other, path_);
        const auto second = database->another();
        ASSERT_TRUE(second.has_value()) << second.error().message;
        for (Database* reader : {database.get(), second->get()}) {
            const auto after = reader->answer(site_);
            ASSERT_TRUE(after.has_value()) << after.error().message;
            EXPECT_EQ(after->of(LayerId::eto), before->of(LayerId::eto));
            EXPECT_TRUE(reader->check_unchanged().has_value());
            EXPECT_TRUE(verify_database(*reader).has_value());
        }
        EXPECT_NE(opened(access)->answer(site_)->of(LayerId::eto), before->of(LayerId::eto));
        std::filesystem::rename(test::merrow_database(), path_);
        wait_a_moment();
    }
}

TEST_F(OpenedFile, IsRefusedOnceItWasOverwritten) {
    const auto database = opened();
    ASSERT_TRUE(database->answer(site_).has_value());
    const int file = open(path_.c_str(), O_WRONLY | O_CLOEXEC);
    const char byte = 'x';
    // In the middle of the file: the header stays as it is.
    ASSERT_EQ(pwrite(file, &byte, 1, database->bytes() / 2), 1);
    close(file);
    const auto unchanged = database->check_unchanged();
    ASSERT_FALSE(unchanged.has_value());
    EXPECT_EQ(unchanged.error().code, ErrorCode::io);
    EXPECT_NE(unchanged.error().message.find("was changed while it was open"), std::string::npos);
    // A connection that has nothing in memory yet reads no byte of it.
    EXPECT_EQ(database->another().error().message, unchanged.error().message);
}

TEST_F(OpenedFile, IsRefusedOnceItWasCut) {
    const auto database = opened();
    ASSERT_EQ(truncate(path_.c_str(), 4096), 0);
    // What was read before may still answer; nothing else does, and the process goes on.
    const auto verified = verify_database(*database);
    ASSERT_FALSE(verified.has_value());
    EXPECT_EQ(verified.error().code, ErrorCode::io) << verified.error().message;
    EXPECT_NE(verified.error().message.find("was changed while it was open"), std::string::npos);
    EXPECT_FALSE(database->check_unchanged().has_value());
}

TEST_F(OpenedFile, MustBeARegularFile) {
    const std::string pipe = test::path_in_test_folder("pipe.sqlite");
    ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
    const std::string folder = test::path_in_test_folder("folder.sqlite");
    std::filesystem::create_directory(folder);
    const std::string to_pipe = test::path_in_test_folder("link.sqlite");
    std::filesystem::create_symlink(pipe, to_pipe);
    for (const std::string& path : {pipe, to_pipe, folder, std::string("/dev/null")}) {
        const auto refused = Database::open(path);  // a pipe would be waited for for ever
        ASSERT_FALSE(refused.has_value()) << path;
        EXPECT_EQ(refused.error().code, ErrorCode::io);
        EXPECT_NE(refused.error().message.find("must be a regular file"), std::string::npos)
            << refused.error().message;
    }
    const auto none = Database::open(test::path_in_test_folder("none.sqlite"));
    ASSERT_FALSE(none.has_value());
    EXPECT_EQ(none.error().code, ErrorCode::io);
    // A library's user knows no options.
    EXPECT_EQ(none.error().hint.find("--"), std::string::npos) << none.error().hint;
}

TEST_F(OpenedFile, IsOpenedWholeWhileOthersReplaceIt) {
    const std::string sources[] = {test::merrow_database(),
                                   test::merrow_database({.temperature = false})};
    std::atomic<bool> ends = false;
    std::thread replacer([&] {
        for (int turn = 0; !ends; ++turn) {
            const std::string next = path_ + ".next";
            std::filesystem::copy_file(sources[turn % 2], next,
                                       std::filesystem::copy_options::overwrite_existing);
            std::filesystem::rename(next, path_);
        }
    });
    for (int i = 0; i < 300; ++i) {
        const auto database = Database::open(path_);
        EXPECT_TRUE(database.has_value()) << database.error().message;
        if (!database) break;
        const auto answer = (*database)->answer(other_site_);
        EXPECT_TRUE(answer.has_value()) << answer.error().message;
    }
    ends = true;
    replacer.join();
}

}  // namespace
}  // namespace thirstline
