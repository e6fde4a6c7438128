#include "lookup/zone_file/zone_options.hpp"

#include <gtest/gtest.h>

#include <CLI/App.hpp>
#include <vector>

#include "lookup/zone_file/zone_file.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

Result<ZoneSet> set_of(std::vector<std::string> arguments) {
    CLI::App app;
    ZoneOptions options;
    options.declare(app);
    std::reverse(arguments.begin(), arguments.end());  // as CLI11 wants them
    app.parse(arguments);
    EXPECT_EQ(options.any_given(), !options.first_given().empty());
    return options.zone_set_of_options();
}

std::string message_of_options(const std::vector<std::string>& arguments) {
    const auto set = set_of(arguments);
    if (set) return "no error";
    EXPECT_EQ(set.error().code, ErrorCode::usage);
    return set.error().message;
}

/// What a zone needs, beside what is tried.
std::vector<std::string> with(std::vector<std::string> more) {
    for (const char* word :
         {"--planting", "cool turf", "--area-m2", "100", "--rate-mm-per-h", "20"}) {
        more.emplace_back(word);
    }
    return more;
}

TEST(ZoneOptions, SayTheSameAsAFile) {
    const auto by_options = set_of({"--name",
                                    "north lawn",
                                    "--planting",
                                    "cool turf",
                                    "--area-ft2",
                                    "1500",
                                    "--rate-in-per-h",
                                    "1.4",
                                    "--distribution-uniformity",
                                    "0.65",
                                    "--soil",
                                    "clay loam",
                                    "--slope-percent",
                                    "5",
                                    "--root-depth-in",
                                    "6",
                                    "--rain-credit",
                                    "0.25",
                                    "--allowed-days",
                                    "Mon,Wed, Fri",
                                    "--window-hours",
                                    "8",
                                    "--site-flow-gpm",
                                    "24",
                                    "--tiers",
                                    "10:3.1,5.4",
                                    "--water-unit",
                                    "kgal",
                                    "--dormant-months",
                                    "12,Jan"});
    ASSERT_TRUE(by_options) << by_options.error().message;
    const auto by_file = read_zone_file(test::file_in_test_folder("same.toml", R"([site]
allowed_days = ["Mon", "Wed", "Fri"]
window_hours = 8
flow_gpm = 24
[water]
unit = "kgal"
tiers = [ { up_to = 10, price = 3.1 }, { price = 5.4 } ]
[[zone]]
name = "north lawn"
planting = "cool turf"
area_ft2 = 1500
rate_in_per_h = 1.4
distribution_uniformity = 0.65
soil = "clay loam"
slope_percent = 5
root_depth_in = 6
rain_credit = 0.25
dormant_months = ["Dec", 1]
)"));
    ASSERT_TRUE(by_file) << by_file.error().message;
    const Zone& a = by_options->zones.front();
    const Zone& b = by_file->zones.front();
    EXPECT_EQ(a.name, b.name);
    EXPECT_EQ(a.area_m2, b.area_m2);
    EXPECT_EQ(std::get<ApplicationRate>(a.application).mm_per_h,
              std::get<ApplicationRate>(b.application).mm_per_h);
    EXPECT_EQ(a.soil.texture, b.soil.texture);
    EXPECT_EQ(a.slope_percent, b.slope_percent);
    EXPECT_EQ(a.root_depth_mm, b.root_depth_mm);
    EXPECT_EQ(a.rain_credit->share, b.rain_credit->share);
    EXPECT_EQ(a.dormant_months, b.dormant_months);
    EXPECT_EQ(by_options->rules.allowed_days.weekdays, by_file->rules.allowed_days.weekdays);
    EXPECT_EQ(by_options->rules.flow_l_per_min, by_file->rules.flow_l_per_min);
    EXPECT_EQ(by_options->price->tiers.size(), 2U);
    EXPECT_EQ(by_options->price->tiers[0].up_to, by_file->price->tiers[0].up_to);
    EXPECT_EQ(by_options->price->tiers[1].price, by_file->price->tiers[1].price);
}

TEST(ZoneOptions, TakeListsWordsAndDates) {
    EXPECT_EQ(set_of(with({"--allowed-days", "odd"}))->rules.allowed_days.rule, DayRule::odd_dates);
    EXPECT_EQ(set_of(with({"--allowed-days", "Sun"}))->rules.allowed_days.weekdays[6], true);
    EXPECT_EQ(*set_of(with({"--dormant-months", "none"}))->zones[0].dormant_months,
              Monthly<bool>{});
    const auto flat = set_of({"--coefficient", "0.7", "--area-m2", "5", "--rate-mm-per-h", "9"});
    EXPECT_EQ(std::get<CropCoefficient>(flat->zones[0].planting).by_month[3], 0.7);
    const auto by_month = set_of(
        {"--coefficient", "0,0,0,1,1,1,1,1,1,0,0,0", "--area-m2", "5", "--rate-mm-per-h", "9"});
    EXPECT_EQ(std::get<CropCoefficient>(by_month->zones[0].planting).by_month[2], 0.0);
    EXPECT_EQ(std::get<CropCoefficient>(by_month->zones[0].planting).by_month[3], 1.0);
    const auto young =
        set_of(with({"--new-planting-until", "2030-05-15", "--new-planting-minutes", "5"}));
    EXPECT_EQ(young->zones[0].new_planting->until, (CalendarDay{2030, 5, 15}));
}

TEST(ZoneOptions, NameTheOptionThatIsWrong) {
    EXPECT_EQ(message_of_options(with({"--slope-percent", "steep"})),
              "--slope-percent must be a number from 0 to 100, not \"steep\"");
    EXPECT_EQ(message_of_options(with({"--slope-percent", "0x10"})),
              "--slope-percent must be a number from 0 to 100, not \"0x10\"");
    EXPECT_EQ(message_of_options(with({"--slope-percent", ""})),
              "--slope-percent must be a number from 0 to 100, not \"\"");
    EXPECT_EQ(message_of_options(with({"--flow-gpm", "12"})),
              "--flow-gpm and --rate-mm-per-h exclude each other; keep one of them");
    EXPECT_EQ(set_of(with({"--flow-gpm", "12"})).error().hint,
              "the flow of the whole site is --site-flow-gpm");
    EXPECT_EQ(message_of_options(with({"--efficiency", "0.7", "--distribution-uniformity", "0.7"})),
              "--efficiency and --distribution-uniformity exclude each other; keep one of them");
    EXPECT_EQ(message_of_options(with({"--area-ft2", "7"})),
              "--area-m2 gives the same quantity as --area-ft2; keep one of them");
    EXPECT_EQ(message_of_options(with({"--wetted-m2", "7"})), "--wetted-m2 needs --emitters");
    EXPECT_EQ(message_of_options(with({"--tiers", "10:a"})),
              "--tiers must be a list of prices such as 10:3.10,5.40 (first 10 units at 3.10, the "
              "rest at "
              "5.40)");
    EXPECT_EQ(message_of_options(with({"--billing-months", "2"})),
              "a water price needs --water-unit");
    EXPECT_NE(message_of_options({"--area-m2", "5"})
                  .find("the zone needs a planting: --planting, --plant-factor, --species or "
                        "--coefficient"),
              std::string::npos);
}

}  // namespace
}  // namespace thirstline
