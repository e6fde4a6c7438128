// A batch reads one file from its first row to its last, even if another file takes its name.
#include "lookup/batch/batch_tiles.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "lookup/batch/batch_input.hpp"
#include "lookup/batch/batch_run.hpp"
#include "tests/support/captured_sink.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

constexpr int kManyRows = 60'000;  // of which the first 4,096 are answered by one thread

/// Hands over a table of sites in pieces; `between` is called when the first piece was read.
class TableInPieces {
  public:
    explicit TableInPieces(std::function<void()> between) : between_(std::move(between)) {
        text_ = "lat,lon\n";
        for (int i = 0; i < kManyRows; ++i)
            text_ += "47." + std::to_string(i % 9) + ",-30." + std::to_string(i % 10) + "\n";
    }
    Result<std::size_t> operator()(char* buffer, std::size_t capacity) {
        if (at_ > 0 && between_) std::exchange(between_, nullptr)();
        const std::size_t count = text_.copy(buffer, capacity, at_);
        at_ += count;
        return count;
    }

  private:
    std::function<void()> between_;
    std::string text_;
    std::size_t at_ = 0;
};

struct Batched {
    Result<bool> outcome;
    std::string text;
};

Batched batched(Database& database, std::function<void()> between, const std::string& format) {
    auto reader = CsvReader::over("sites", TableInPieces(std::move(between)));
    CsvRow header;
    EXPECT_TRUE(reader.next(header).value());
    const auto columns = batch_columns(header, "sites").value();
    test::CapturedSink sink;
    auto outcome = run_batch(reader, columns, database, {format, 4}, sink);
    return {std::move(outcome), std::move(sink.text)};
}

TEST(BatchTiles, IsThatOfTheFileThatWasOpened) {
    for (const char* format : {"csv", "ndjson"}) {
        const std::string path = test::merrow_database();
        const std::string whole = batched(
                                      *std::move(*Database::open(path)), [] {}, format)
                                      .text;
        // Other numbers, and other layers.
        const auto database = std::move(*Database::open(path));
        const auto replaced = batched(
            *database,
            [&path] {
                std::filesystem::rename(
                    test::merrow_database({.temperature = false, .no_eto_at_all = true}), path);
            },
            format);
        ASSERT_TRUE(replaced.outcome.has_value()) << replaced.outcome.error().message;
        EXPECT_EQ(replaced.text, whole);
    }
}

TEST(BatchTiles, EndsWithAnErrorOnceTheFileWasOverwritten) {
    const std::string path = test::merrow_database();
    const auto database = std::move(*Database::open(path));
    const auto overwritten = batched(
        *database, [&path] { std::ofstream(path, std::ios::binary | std::ios::trunc) << "other"; },
        "csv");
    ASSERT_FALSE(overwritten.outcome.has_value());
    EXPECT_EQ(overwritten.outcome.error().code, ErrorCode::io);
    EXPECT_NE(overwritten.outcome.error().message.find("was changed"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
