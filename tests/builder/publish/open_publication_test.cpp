// A real publication: the contiguous United States at 300 arc-seconds from CRU CL 1.0 (New, Hulme
// and Jones 1999), ETOPO5, WMO normals of 1991–2020 and GeoNames' postal codes. Skipped if the data
// are not available in the folder named by THIRSTLINE_OPEN_DATA.
#include <gtest/gtest.h>

#include <algorithm>

#include "tests/support/export_runs.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/open_climate.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/published_sites.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::builder;

TEST(OpenPublication, OfTheContiguousUnitedStates) {
    const std::string data = test::open_data_folder(
        {"cru-cl1-1961-1990", "wmo-normals-1991-2020", "elevation", "postal"});
    if (data.empty()) GTEST_SKIP() << test::kNoOpenData;
    const TempFolder folder;
    test::write_text(folder / "us.toml",
                     "[baseline]\ntitle = \"Contiguous United States\"\nregion = \"US\"\n"
                     "period = \"1991-2020\"\n[lattice]\nspacing_arcsec = 300\n"
                     "bbox = [-125, 24, -66.5, 49.5]\nreach_km = 10\n" +
                         test::open_grids(data) + test::open_stations(data) +
                         "[[postal]]\ncountry = \"US\"\npath = \"/vsigzip/" + data +
                         "/postal/geonames_US.txt.gz\"\nlayout = \"geonames\"\n"
                         "[output]\ncode = \"compact\"\n");
    const std::string file = folder / "us.sqlite";
    const auto built = builder({"build", folder / "us.toml", "-o", file});
    ASSERT_EQ(built.status, 0) << built.err;
    const auto outcome =
        test::published(file, {folder / "site", false, {}, {folder / "us.toml"}, {}});
    ASSERT_TRUE(outcome) << outcome.error().message;
    test::PublishedSite site(folder / "site");

    std::vector<std::int64_t> sizes;
    for (const auto& [key, area] : site.baseline()["areas"]["files"].items())
        sizes.push_back(area["bytes"].get<std::int64_t>());
    std::ranges::sort(sizes);
    const std::int64_t typical = sizes[sizes.size() / 2];
    std::printf("%zu areas: %lld bytes the median, %lld the greatest; %lld postal files\n",
                sizes.size(), static_cast<long long>(typical), static_cast<long long>(sizes.back()),
                static_cast<long long>(outcome->postal_files));
    EXPECT_GT(typical, 15'000);
    EXPECT_LT(typical, 32'000);
    EXPECT_LT(sizes.back(), 60'000);
    EXPECT_LT(sizes.size(), 300U);
    EXPECT_EQ(outcome->points, 158'058);
    // Without Alaska, Hawaii and military addresses abroad, which are outside the box.
    EXPECT_GT(outcome->postal_codes, 40'500);
    EXPECT_LT(outcome->postal_codes, 41'000);

    // Every thousandth postal code, and sites at random over land and sea.
    const auto database = test::opened(file);
    std::vector<LatLonE7> positions;
    for (const auto& [prefix, postal] : site.baseline()["postal"]["files"].items()) {
        EXPECT_LT(postal["bytes"].get<std::int64_t>(), 100'000);
        const nlohmann::json rows = site.json(postal["name"])["codes"];
        for (std::size_t i = 0; i < rows.size(); i += 100)
            positions.push_back({rows[i][3].get<std::int32_t>(), rows[i][4].get<std::int32_t>()});
    }
    test::Random random(300);
    for (int i = 0; i < 1000; ++i) {
        positions.push_back(
            {static_cast<std::int32_t>(random.between(235'000'000, 500'000'000)),
             static_cast<std::int32_t>(random.between(-1'255'000'000, -660'000'000))});
    }
    int found = 0;
    for (const LatLonE7 position : positions) {
        SCOPED_TRACE(std::to_string(position.lat_e7) + " " + std::to_string(position.lon_e7));
        const auto answer = database->answer(position);
        ASSERT_TRUE(answer);
        const auto area = site.area_of(position);
        told_in_c told{};
        const int status =
            area ? site.image(*area).look_up(test::kImageReaders[0], position, 0, told)
                 : THIRSTLINE_IMAGE_NO_DATA;
        ASSERT_EQ(status == THIRSTLINE_IMAGE_OK, answer->found);
        if (!answer->found) continue;
        ++found;
        for (std::size_t month = 0; month < kMonths; ++month) {
            const std::int32_t eto = told.values[0][month];
            const std::int32_t rain = told.values[1][month];
            ASSERT_EQ(eto, answer->of(LayerId::eto)[month]);
            ASSERT_EQ(rain, answer->of(LayerId::rain)[month]);
        }
    }
    EXPECT_GT(found, 900);
}

}  // namespace
}  // namespace thirstline
