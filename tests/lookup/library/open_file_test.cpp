// A file that changes, is replaced or is used by several threads at once gives a status; the
// process that uses the library continues.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <thirstline/thirstline.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

constexpr thirstline_lat_lon kPlace{47.25, -30.5};

thirstline_site blank() {
    thirstline_site site{};
    site.struct_size = sizeof site;
    return site;
}

thirstline_error no_error_yet() {
    thirstline_error error{};
    error.struct_size = sizeof error;
    return error;
}

TEST(OpenFile, ThatWasCutGivesAStatus) {
    const std::string path = test::merrow_database();
    std::this_thread::sleep_for(std::chrono::milliseconds(30));
    thirstline_file* file = nullptr;
    auto error = no_error_yet();
    ASSERT_EQ(thirstline_open(path.c_str(), &file, &error), THIRSTLINE_OK);
    auto site = blank();
    ASSERT_EQ(thirstline_site_at(file, kPlace, nullptr, &site, &error), THIRSTLINE_OK);
    ASSERT_EQ(truncate(path.c_str(), 0), 0);
    EXPECT_EQ(thirstline_site_at(file, {47.9, -30.1}, nullptr, &site, &error), THIRSTLINE_IO);
    EXPECT_NE(std::strstr(error.message, "was changed while it was open"), nullptr)
        << error.message;
    EXPECT_EQ(thirstline_site_at(file, kPlace, nullptr, &site, &error), THIRSTLINE_IO);
    EXPECT_EQ(thirstline_verify(file, &error), THIRSTLINE_IO);
    thirstline_close(file);
}

std::vector<char> bytes_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// The integers of many sites; closes the file.
std::vector<std::int32_t> answers_and_close(thirstline_file* file) {
    std::vector<thirstline_query> queries(500);
    for (std::size_t i = 0; i < queries.size(); ++i) {
        queries[i] = {sizeof(thirstline_query),
                      nullptr,
                      nullptr,
                      {47.0 + 0.0016 * static_cast<double>(i), -30.4},
                      THIRSTLINE_UNKNOWN};
    }
    std::vector<thirstline_site> sites(queries.size(), blank());
    EXPECT_EQ(thirstline_verify(file, nullptr), THIRSTLINE_OK);
    EXPECT_EQ(thirstline_sites(file, queries.data(), queries.size(), 2, sites.data(), nullptr),
              THIRSTLINE_OK);
    std::vector<std::int32_t> integers;
    for (const thirstline_site& site : sites) {
        integers.push_back(site.status);
        integers.insert(integers.end(), std::begin(site.eto_fixed), std::end(site.eto_fixed));
        integers.insert(integers.end(), std::begin(site.rain_fixed), std::end(site.rain_fixed));
    }
    thirstline_close(file);
    return integers;
}

TEST(OpenFile, InMemoryAndWithinAnotherFileAnswersAsByItsPath) {
    const std::string path = test::merrow_database();
    thirstline_file* file = nullptr;
    ASSERT_EQ(thirstline_open(path.c_str(), &file, nullptr), THIRSTLINE_OK);
    const auto expected = answers_and_close(file);
    ASSERT_GT(expected[1 + 6], 0);

    const auto bytes = bytes_of(path);
    ASSERT_EQ(thirstline_open_memory(bytes.data(), bytes.size(), &file, nullptr), THIRSTLINE_OK);
    EXPECT_EQ(answers_and_close(file), expected);

    // As an asset in an app's package: other bytes before and after it.
    const std::string package = path + ".package";
    const std::vector<char> other(12'345, 'x');
    {
        std::ofstream out(package, std::ios::binary);
        for (const auto* const part : {&other, &bytes, &other})
            out.write(part->data(), static_cast<std::streamsize>(part->size()));
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(30));
    const auto size = static_cast<std::int64_t>(bytes.size());
    const int descriptor = open(package.c_str(), O_RDONLY);
    ASSERT_EQ(thirstline_open_descriptor(descriptor, 12'345, size, &file, nullptr), THIRSTLINE_OK);
    EXPECT_EQ(lseek(descriptor, 0, SEEK_CUR), 0);
    close(descriptor);
    EXPECT_EQ(answers_and_close(file), expected);

    const int whole = open(path.c_str(), O_RDONLY);
    ASSERT_EQ(thirstline_open_descriptor(whole, 0, 0, &file, nullptr), THIRSTLINE_OK);
    close(whole);
    EXPECT_EQ(answers_and_close(file), expected);
}

TEST(OpenFile, OfBytesThatAreNotABaselineGivesAStatus) {
    const std::string path = test::merrow_database();
    auto bytes = bytes_of(path);
    thirstline_file* file = nullptr;
    auto error = no_error_yet();
    EXPECT_EQ(thirstline_open_memory(nullptr, 100, &file, &error), THIRSTLINE_USAGE);
    EXPECT_STREQ(error.message, "bytes is a null pointer");
    for (const std::size_t size :
         {std::size_t{0}, std::size_t{99}, std::size_t{100}, bytes.size() - 1, bytes.size() / 2}) {
        EXPECT_EQ(thirstline_open_memory(bytes.data(), size, &file, &error), THIRSTLINE_BAD_FILE);
        EXPECT_EQ(file, nullptr);
        EXPECT_NE(std::strstr(error.message, "the file in memory"), nullptr) << error.message;
    }
    // Damage in memory that is found when the tile is read, or by verify.
    bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 0x10);
    if (thirstline_open_memory(bytes.data(), bytes.size(), &file, &error) == THIRSTLINE_OK) {
        EXPECT_EQ(thirstline_verify(file, &error), THIRSTLINE_BAD_FILE);
        thirstline_close(file);
    }

    const int descriptor = open(path.c_str(), O_RDONLY);
    const auto size = static_cast<std::int64_t>(bytes.size());
    for (const auto& [offset, count] : std::vector<std::pair<std::int64_t, std::int64_t>>{
             {-1, 0}, {0, -1}, {0, size + 1}, {1, size}, {size + 1, 0}, {INT64_MAX, INT64_MAX}}) {
        EXPECT_EQ(thirstline_open_descriptor(descriptor, offset, count, &file, &error),
                  THIRSTLINE_USAGE)
            << offset << ' ' << count;
    }
    EXPECT_EQ(thirstline_open_descriptor(descriptor, 512, 0, &file, &error), THIRSTLINE_BAD_FILE);
    close(descriptor);
    EXPECT_EQ(thirstline_open_descriptor(descriptor, 0, 0, &file, &error), THIRSTLINE_IO);
    int ends[2];
    ASSERT_EQ(pipe(ends), 0);
    EXPECT_EQ(thirstline_open_descriptor(ends[0], 0, 0, &file, &error), THIRSTLINE_IO);
    EXPECT_NE(std::strstr(error.message, "is a pipe"), nullptr) << error.message;
    close(ends[0]);
    close(ends[1]);
}

// SQLite's words quote the file.
TEST(OpenFile, WithBytesThatAreNotUtf8GivesAnErrorInUtf8) {
    const std::string path = test::merrow_database();
    std::vector<char> bytes = bytes_of(path);
    const std::string declared = "TEXT NOT NULL";
    const auto found = std::search(bytes.begin(), bytes.end(), declared.begin(), declared.end());
    ASSERT_NE(found, bytes.end());
    found[5] = '\xCE';
    thirstline_file* file = nullptr;
    auto error = no_error_yet();
    EXPECT_EQ(thirstline_open_memory(bytes.data(), bytes.size(), &file, &error),
              THIRSTLINE_BAD_FILE);
    EXPECT_NE(std::strstr(error.message, "\xEF\xBF\xBDOT"), nullptr) << error.message;
    EXPECT_EQ(std::strstr(error.message, "\xCE"), nullptr) << error.message;
}

TEST(OpenFile, OfADescriptorThatWasOverwrittenGivesAStatus) {
    const std::string path = test::merrow_database();
    std::this_thread::sleep_for(std::chrono::milliseconds(30));
    const int descriptor = open(path.c_str(), O_RDWR);
    thirstline_file* file = nullptr;
    ASSERT_EQ(thirstline_open_descriptor(descriptor, 0, 0, &file, nullptr), THIRSTLINE_OK);
    ASSERT_EQ(ftruncate(descriptor, 4096), 0);
    close(descriptor);
    auto site = blank();
    EXPECT_EQ(thirstline_site_at(file, kPlace, nullptr, &site, nullptr), THIRSTLINE_IO);
    thirstline_close(file);
}

TEST(OpenFile, ThatWasReplacedIsStillTheOldOneForEveryThread) {
    const std::string path = test::merrow_database();
    thirstline_file* file = nullptr;
    ASSERT_EQ(thirstline_open_mapped(path.c_str(), &file, nullptr), THIRSTLINE_OK);
    std::filesystem::rename(test::merrow_database({.temperature = false, .no_eto_at_all = true}),
                            path);
    std::vector<thirstline_query> queries(2'000);
    for (std::size_t i = 0; i < queries.size(); ++i) {
        queries[i] = {sizeof(thirstline_query),
                      nullptr,
                      nullptr,
                      {47.0 + 0.0004 * static_cast<double>(i), -30.5},
                      THIRSTLINE_UNKNOWN};
    }
    std::vector<thirstline_site> together(queries.size(), blank());
    auto error = no_error_yet();
    ASSERT_EQ(thirstline_sites(file, queries.data(), queries.size(), 8, together.data(), &error),
              THIRSTLINE_OK)
        << error.message;
    for (std::size_t i = 0; i < queries.size(); ++i) {
        auto alone = blank();
        ASSERT_EQ(thirstline_site_at(file, queries[i].lat_lon, nullptr, &alone, nullptr),
                  THIRSTLINE_OK);
        EXPECT_GT(alone.eto_fixed[6], 0);
        EXPECT_EQ(std::memcmp(alone.eto_fixed, together[i].eto_fixed, sizeof alone.eto_fixed), 0);
        EXPECT_EQ(std::memcmp(alone.tmax_fixed, together[i].tmax_fixed, sizeof alone.tmax_fixed),
                  0);
    }
    thirstline_close(file);
}

TEST(OpenFile, ThatSeveralThreadsUseIsBusy) {
    const std::string path = test::merrow_database({.stations = true});
    thirstline_file* file = nullptr;
    ASSERT_EQ(thirstline_open(path.c_str(), &file, nullptr), THIRSTLINE_OK);
    std::atomic<int> answered = 0, busy = 0, strange = 0;
    std::vector<std::thread> threads;
    for (int t = 0; t < 8; ++t) {
        threads.emplace_back([&] {
            for (int i = 0; i < 4'000; ++i) {
                auto site = blank();
                auto error = no_error_yet();
                const auto status = i % 2 == 0
                                        ? thirstline_site_at(file, kPlace, nullptr, &site, &error)
                                        : thirstline_site_of_postal_code(file, "4021", "XM",
                                                                         nullptr, &site, &error);
                if (status == THIRSTLINE_OK && site.eto_fixed[6] == 56'800)
                    ++answered;
                else if (status == THIRSTLINE_BUSY && std::strstr(error.message, "thread"))
                    ++busy;
                else if (i % 2 == 0 || status != THIRSTLINE_OK)
                    ++strange;
                else
                    ++answered;
            }
        });
    }
    for (std::thread& thread : threads) thread.join();
    EXPECT_EQ(strange, 0);
    EXPECT_EQ(answered + busy, 8 * 4'000);
    EXPECT_GT(answered, 0);
    thirstline_close(file);
}

}  // namespace
}  // namespace thirstline
