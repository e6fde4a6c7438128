// Files written by earlier versions can still be read: kept_files/README.md.
#include <gtest/gtest.h>

#include "schema/database/database.hpp"
#include "schema/database/database_report.hpp"

namespace thirstline {
namespace {

TEST(KeptFiles, AnswersFromPlainTilesAsDocumented) {
    const auto database = Database::open(THIRSTLINE_KEPT_FILES "/codec-0-of-0.1.sqlite");
    ASSERT_TRUE(database) << database.error().message;
    const auto verified = verify_database(**database);
    EXPECT_TRUE(verified) << verified.error().message;

    const auto among = (*database)->answer({440'625'000, -1'234'375'000});
    ASSERT_TRUE(among);
    EXPECT_TRUE(among->interpolated);
    EXPECT_EQ(among->of(LayerId::eto)[6], 31'500);
    EXPECT_EQ(among->of(LayerId::rain)[6], 3'420);
    EXPECT_EQ(among->of(LayerId::rain)[11], 15'850);
    EXPECT_EQ(among->of(LayerId::elevation)[0], 20'400);

    const auto higher = (*database)->answer({440'625'000, -1'234'375'000}, 800);
    ASSERT_TRUE(higher);
    EXPECT_EQ(higher->of(LayerId::eto)[6], 30'606);
    // 34.20 mm · (1 + 0.200 · 0.596), as 0.1.0 had it; a file of format 1.2 would give 38.53.
    EXPECT_EQ(higher->of(LayerId::rain)[6], 3'828);

    const auto beside = (*database)->answer({446'000'000, -1'234'000'000});
    ASSERT_TRUE(beside);
    EXPECT_FALSE(beside->interpolated);
    EXPECT_EQ(beside->distance_m, 39'720);

    const auto places = (*database)->postal_places("04102");
    ASSERT_TRUE(places);
    ASSERT_EQ(places->size(), 1U);
    EXPECT_EQ(places->front().place, "Ostrey Bridge");
}

}  // namespace
}  // namespace thirstline
