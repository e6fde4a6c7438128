// The lock file: what is written is read, and a damaged one is an error with its line.
#include "builder/fetch/fetch_lock.hpp"

#include <gtest/gtest.h>

#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

// FIPS 180-4, the example of the message "abc".
constexpr const char* kSumOfAbc =
    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

TEST(FetchLock, WhatIsWrittenIsRead) {
    const TempFolder folder;
    const std::string path = folder / "merrow.lock";
    FetchLock lock;
    lock.set({"b.zip", "https://example.org/b.zip?x=\"1\"", 12, kSumOfAbc});
    lock.set({"a.tif", "", 5'000'000'000, kSumOfAbc});
    lock.set({"b.zip", "https://example.org/b.zip", 13, kSumOfAbc});
    ASSERT_TRUE(write_fetch_lock(path, lock));
    const auto read = read_fetch_lock(path);
    ASSERT_TRUE(read) << read.error().message;
    EXPECT_EQ(read->files,
              (std::vector<LockedFile>{{"a.tif", "", 5'000'000'000, kSumOfAbc},
                                       {"b.zip", "https://example.org/b.zip", 13, kSumOfAbc}}));
    EXPECT_EQ(read->find("c"), nullptr);
    const std::string first = test::content_of(path);
    ASSERT_TRUE(write_fetch_lock(path, *read));
    EXPECT_EQ(test::content_of(path), first);
}

TEST(FetchLock, NoFileIsAnEmptyLock) {
    const TempFolder folder;
    const auto lock = read_fetch_lock(folder / "none.lock");
    ASSERT_TRUE(lock);
    EXPECT_TRUE(lock->files.empty());
    EXPECT_EQ(lock_path("a/merrow.toml"), "a/merrow.lock");
}

TEST(FetchLock, ADamagedOneIsRefused) {
    const TempFolder folder;
    const std::string path = folder / "merrow.lock";
    const std::string sum = kSumOfAbc;
    for (const std::string& text :
         {std::string("[[file]"), std::string("file = 7"), std::string("[[file]]\nname = \"a\""),
          "[[file]]\nname = \"a\"\nbytes = -1\nsha256 = \"" + sum + "\"",
          "[[file]]\nname = \"a\"\nbytes = 1\nsha256 = \"" + sum.substr(1) + "\"",
          "[[file]]\nname = \"a\"\nbytes = 1\nsha256 = \"X" + sum.substr(1) + "\""}) {
        test::write_text(path, text);
        const auto lock = read_fetch_lock(path);
        ASSERT_FALSE(lock) << text;
        EXPECT_EQ(lock.error().code, ErrorCode::bad_input);
        EXPECT_NE(lock.error().message.find("merrow.lock"), std::string::npos);
    }
}

TEST(FetchLock, AFileIsMeasured) {
    const TempFolder folder;
    test::write_text(folder / "abc", "abc");
    const auto file = measured_file(folder / "abc", "abc", "https://example.org/abc");
    ASSERT_TRUE(file);
    EXPECT_EQ(file->bytes, 3);
    EXPECT_EQ(file->sha256, kSumOfAbc);
}

}  // namespace
}  // namespace thirstline
