// A file that changes, is replaced or is used by several threads at once gives a status; the
// process that uses the library continues.
#include <gtest/gtest.h>
#include <thirstline/thirstline.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <cstring>
#include <filesystem>
#include <string>
#include <thread>
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
