// Damage, byte by byte: for any changed byte, nothing crashes, and every answer is the right one or
// an error. Run with THIRSTLINE_EVERY_BYTE=1 in the environment to try every byte of the file
// instead of a sample.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "schema/database/database.hpp"
#include "schema/database/database_report.hpp"
#include "schema/database/sqlite_handles.hpp"
#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::Random;
using test::World;

/// Everything that a reader may be told, as one text; an error's code is kept apart.
class Telling {
  public:
    void add(const std::string& text) { told_ += text + "\n"; }
    void add(const Answer& answer) {
        std::string text = std::to_string(answer.found) + std::to_string(answer.interpolated) +
                           " " + std::to_string(answer.lattice_id) + " " +
                           std::to_string(answer.at.lat_e7) + " " +
                           std::to_string(answer.at.lon_e7) + " " +
                           std::to_string(answer.distance_m) + " " + std::to_string(answer.period);
        for (const auto& months : answer.values) {
            for (const std::int32_t value : months) text += " " + std::to_string(value);
        }
        for (const std::uint16_t code : answer.method) text += " " + std::to_string(code);
        add(text);
    }
    [[nodiscard]] const std::string& answer_text() const { return told_; }

  private:
    std::string told_;
};

#if defined(__SANITIZE_ADDRESS__)
constexpr bool kAddressSanitizer = true;
#elif defined(__has_feature)
constexpr bool kAddressSanitizer = __has_feature(address_sanitizer);
#else
constexpr bool kAddressSanitizer = false;
#endif

/// With sanitizers a file is opened ten times as slowly, so fewer bytes are changed there.
constexpr std::size_t kStep = kAddressSanitizer ? 29 : 13;

class DamagedDatabase : public testing::Test {
  protected:
    DamagedDatabase() : random_(120), path_(folder_.path("a.sqlite")) {
        world_.layout = test::layout_of(2);
        Lattice coarse = test::lattice_of(600'000, 0, 3'600, 20, 5, 2);
        coarse.reach_m = 300'000;
        Lattice fine = test::lattice_of(604'000, 3'600, 900, 5, 5, 2);
        fine.id = 2;
        fine.rank = 1;
        world_.lattices = {coarse, fine};
        for (const Lattice& lattice : world_.lattices) {
            test::fill_lattice(world_, lattice, random_, 70);
            for (const LatLonE7 position : test::positions_about(lattice, random_, 12))
                positions_.push_back(position);
        }
        EXPECT_TRUE(test::write_world(world_, path_).has_value());
        bytes_ = test::bytes_of_file(path_);
        right_ = answer_text(*Database::open(path_));
        EXPECT_EQ(errors_, 0);
    }

    /// What each question is answered with; "error" where that was the answer.
    std::vector<std::string> answer_text(const std::unique_ptr<Database>& database) {
        std::vector<std::string> all;
        const auto ask = [&](auto&& question) {
            Telling telling;
            const std::optional<Error> error = question(telling);
            if (error) note(*error);
            all.push_back(error ? "error" : telling.answer_text());
        };
        ask([&](Telling& telling) -> std::optional<Error> {
            for (const Lattice& lattice : database->lattices())
                telling.add(lattice.name + std::to_string(lattice.rank));
            for (const Layer& layer : database->layout().layers)
                telling.add(std::to_string(static_cast<int>(layer.id)) + " " +
                            std::to_string(layer.divisor));
            for (const char* key : {"title", "notice", "publisher", "reference"})
                telling.add(database->metadata(key));
            return std::nullopt;
        });
        ask([&](Telling& telling) -> std::optional<Error> {
            const auto sources = database->sources();
            if (!sources) return sources.error();
            for (const Source& source : *sources)
                telling.add(source.name + source.licence + std::to_string(source.rejected.size()) +
                            std::to_string(source.files.size()));
            const auto period = database->period(1);
            if (!period) return period.error();
            telling.add(*period);
            return std::nullopt;
        });
        ask([&](Telling& telling) -> std::optional<Error> {
            const auto places = database->postal_places("1001");
            if (!places) return places.error();
            for (const PostalPlace& place : *places)
                telling.add(place.country + place.place + std::to_string(place.position.lat_e7) +
                            "," + std::to_string(place.position.lon_e7));
            return std::nullopt;
        });
        for (const LatLonE7 position : positions_) {
            ask([&](Telling& telling) -> std::optional<Error> {
                const auto answer = database->answer(position, 900);
                if (!answer) return answer.error();
                telling.add(*answer);
                return std::nullopt;
            });
        }
        return all;
    }

    void note(const Error& error) {
        ++errors_;
        EXPECT_EQ(error.code, ErrorCode::bad_database) << error.message;
        EXPECT_FALSE(error.message.empty());
    }

    void overwrite(std::size_t offset, char byte) {
        const int file = open(path_.c_str(), O_WRONLY | O_CLOEXEC);
        ASSERT_EQ(pwrite(file, &byte, 1, static_cast<off_t>(offset)), 1);
        close(file);
    }

    /// Is every answer the right one or an error? A postal code may vanish, if `verify` notices.
    void check_file(const std::string& what) {
        auto database = Database::open(path_);
        if (!database) {
            ++refused_;
            return note(database.error());
        }
        const auto verified = verify_database(**database);
        if (!verified) note(verified.error());
        const auto answers = answer_text(*database);
        ASSERT_EQ(answers.size(), right_.size());
        for (std::size_t i = 0; i < answers.size(); ++i) {
            if (answers[i] == "error" || answers[i] == right_[i]) continue;
            constexpr std::size_t kPostal = 2;
            const bool vanished =
                i == kPostal && answers[i].size() < right_[i].size() && !verified.has_value();
            EXPECT_TRUE(vanished) << what << ": question " << i << " was answered with "
                                  << answers[i] << " for " << right_[i];
        }
        if (verified)
            ++unnoticed_;
        else
            ++noticed_;
    }

    Random random_;
    test::TemporaryFolder folder_;
    World world_;
    std::string path_, bytes_;
    std::vector<LatLonE7> positions_;
    std::vector<std::string> right_;
    int errors_ = 0, refused_ = 0, noticed_ = 0, unnoticed_ = 0;
};

TEST_F(DamagedDatabase, EveryFlippedByteGivesAnErrorOrTheRightAnswer) {
    const std::size_t step = std::getenv("THIRSTLINE_EVERY_BYTE") != nullptr ? 1 : kStep;
    std::size_t tried = 0;
    for (std::size_t offset = 0; offset < bytes_.size(); offset += step, ++tried) {
        // In turn a low bit, a high bit and all of them.
        const int mask = tried % 3 == 0 ? 0x01 : tried % 3 == 1 ? 0x80 : 0xFF;
        overwrite(offset, static_cast<char>(bytes_[offset] ^ mask));
        check_file("byte " + std::to_string(offset) + " ^ " + std::to_string(mask));
        overwrite(offset, bytes_[offset]);
        if (HasFatalFailure()) return;
    }
    std::cout << tried << " flips: " << refused_ << " refused when opened, " << noticed_
              << " noticed by verify, " << unnoticed_ << " harmless\n";
    EXPECT_GT(tried, 3'000U);
    EXPECT_GT(refused_, 300);
    EXPECT_GT(noticed_, 300);
}

TEST_F(DamagedDatabase, HeaderAndSchemaByteByByteInEveryBit) {
    // The first page: SQLite's header and the beginning of the schema.
    for (std::size_t offset = 0; offset < 250; ++offset) {
        for (int bit = 0; bit < 8; ++bit) {
            overwrite(offset, static_cast<char>(bytes_[offset] ^ (1 << bit)));
            check_file("bit " + std::to_string(bit) + " of byte " + std::to_string(offset));
        }
        overwrite(offset, bytes_[offset]);
        if (HasFatalFailure()) return;
    }
    EXPECT_GT(refused_, 300);
}

TEST_F(DamagedDatabase, VerifyNoticesEveryFlipInsideATile) {
    std::size_t flips = 0;
    for (const auto& [key, tile] : world_.tiles) {
        const auto data = encode_tile(kCodecPlain, world_.layout, *tile);
        ASSERT_TRUE(data.has_value());
        const std::string blob(data->begin(), data->end());
        const std::size_t begin = bytes_.find(blob);
        if (begin == std::string::npos) continue;  // spread over two pages
        if (flips > 4'000 && std::getenv("THIRSTLINE_EVERY_BYTE") == nullptr) break;
        for (std::size_t offset = begin; offset < begin + blob.size(); ++offset, ++flips) {
            overwrite(offset, static_cast<char>(bytes_[offset] ^ (1 << flips % 8)));
            auto database = Database::open(path_);
            ASSERT_TRUE(database.has_value());
            const auto verified = verify_database(**database);
            ASSERT_FALSE(verified.has_value()) << offset;
            EXPECT_EQ(verified.error().code, ErrorCode::bad_database);
            EXPECT_NE(verified.error().message.find(std::to_string(key)), std::string::npos);
            overwrite(offset, bytes_[offset]);
        }
    }
    EXPECT_GT(flips, 2'000U);
}

TEST_F(DamagedDatabase, PagesOfZerosOrOfAnotherPage) {
    for (std::size_t page = 1; page * 4'096 < bytes_.size(); ++page) {
        for (const bool zeros : {true, false}) {
            std::string damaged = bytes_;
            damaged.replace(page * 4'096, 4'096,
                            zeros ? std::string(4'096, '\0')
                                  : bytes_.substr((page == 1 ? 2 : page - 1) * 4'096, 4'096));
            test::write_bytes(path_, damaged);
            check_file("page " + std::to_string(page));
        }
    }
    EXPECT_GT(errors_, 20);
}

}  // namespace
}  // namespace thirstline
