#include "lookup/zone_file/zone_file.hpp"

#include <gtest/gtest.h>

#include <unistd.h>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

/// The zone that the look-up's contract shows, every key of it.
constexpr const char* kContract = R"([site]
allowed_days = ["Mon", "Wed", "Fri"]     # or "odd", "even", "any"
window_hours = 8
flow_gpm = 12
yearly_allowance_gal = 60000             # or monthly_allowance_gal; optional

[water]
unit = "kgal"
billing_months = 1
fixed = 18.0
indoor_use = 5.0
sewer_share = 0.0
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
allowed_depletion = 0.5
rain_credit = "half"
)";

/// A zone of which only `lines` differ.
std::string zone_with(const std::string& lines) {
    return "[[zone]]\nplanting = \"cool turf\"\narea_m2 = 100\nrate_mm_per_h = 20\n" + lines + "\n";
}

Result<ZoneSet> read(const std::string& text) {
    return read_zone_file(test::file_in_test_folder("garden.toml", text));
}

/// The message without the file's folder.
std::string message_of(const std::string& text) {
    const auto set = read(text);
    if (set) return "no error";
    EXPECT_EQ(set.error().code, ErrorCode::bad_input) << set.error().message;
    const std::string& message = set.error().message;
    const std::size_t name = message.find("garden.toml");
    return name == std::string::npos ? message : message.substr(name);
}

TEST(ZoneFile, ReadsTheContractsExample) {
    const auto set = read(kContract);
    ASSERT_TRUE(set) << set.error().message;
    ASSERT_EQ(set->zones.size(), 1U);
    const Zone& zone = set->zones.front();
    EXPECT_EQ(zone.name, "north lawn");
    EXPECT_EQ(std::get<Turf>(zone.planting).season, TurfSeason::cool);
    EXPECT_NEAR(*zone.area_m2, 139.35456, 1e-9);  // 1500 · 0.3048²
    EXPECT_NEAR(std::get<ApplicationRate>(zone.application).mm_per_h, 35.56, 1e-12);
    EXPECT_EQ(std::get<DistributionUniformity>(*zone.uniformity).lowest_quarter, 0.65);
    EXPECT_EQ(zone.soil.texture, SoilTexture::clay_loam);
    EXPECT_EQ(zone.slope_percent, 5.0);
    EXPECT_NEAR(*zone.root_depth_mm, 152.4, 1e-12);
    EXPECT_EQ(zone.allowed_depletion, 0.5);
    EXPECT_EQ(zone.rain_credit->rule, RainRule::half);

    EXPECT_EQ(set->rules.allowed_days.rule, DayRule::weekdays);
    EXPECT_EQ(set->rules.allowed_days.weekdays,
              (std::array{true, false, true, false, true, false, false}));
    EXPECT_EQ(set->rules.window_hours, 8.0);
    EXPECT_NEAR(*set->rules.flow_l_per_min, 45.424941408, 1e-9);
    EXPECT_NEAR(*set->rules.yearly_allowance_l, 227124.70704, 1e-6);

    ASSERT_TRUE(set->price);
    EXPECT_NEAR(set->price->litres_per_unit, 3785.411784, 1e-9);
    EXPECT_EQ(set->price->fixed_per_bill, 18.0);
    EXPECT_EQ(set->price->indoor_units_per_bill, 5.0);
    ASSERT_EQ(set->price->tiers.size(), 2U);
    EXPECT_EQ(set->price->tiers[0].up_to, 10.0);
    EXPECT_EQ(set->price->tiers[0].price, 3.1);
    EXPECT_FALSE(set->price->tiers[1].up_to);
}

TEST(ZoneFile, ReadsEveryKindOfPlanting) {
    const auto planting = [](const std::string& line) {
        const auto set = read("[[zone]]\narea_m2 = 10\nrate_mm_per_h = 20\n" + line);
        EXPECT_TRUE(set) << line << set.error().message;
        return set->zones.front().planting;
    };
    EXPECT_EQ(
        std::get<Turf>(planting("planting = \"warm turf\"\nturf_coefficients = \"california\""))
            .coefficients,
        TurfCoefficients::california);
    EXPECT_EQ(std::get<PlantFactor>(planting("plant_factor = 0.3")).value, 0.3);
    const auto landscape = std::get<LandscapeCoefficient>(
        planting("species = 0.5\ndensity = 1.1\nmicroclimate = 1.2"));
    EXPECT_EQ(landscape.density, 1.1);
    EXPECT_EQ(landscape.microclimate, 1.2);
    EXPECT_EQ(std::get<CropCoefficient>(planting("coefficient = 0.7")).by_month[11], 0.7);
    EXPECT_EQ(std::get<CropCoefficient>(
                  planting("coefficient = [0, 0, 0.4, 0.5, 0.6, 0.7, 0.8, 0.7, 0.6, 0.5, 0, 0]"))
                  .by_month[6],
              0.8);
}

TEST(ZoneFile, ReadsDripSalinityDormancyAndNewPlantings) {
    const auto set = read(R"([[zone]]
plant_factor = 0.5
emitters = 60
l_per_h_each = 4
wetted_m2 = 30
plants = 20
soil = "loam"
available_water_mm_per_m = 150
intake_mm_per_h = 8
surface_storage_mm = 7
exposure = "hot"
water_ec_ds_per_m = 1.2
tolerated_ec_ds_per_m = 4
rain_credit = 0.25
dormant_months = [12, 1, "Feb"]
new_planting_from = 2030-04-01
new_planting_until = 2030-05-15
new_planting_minutes = 5
new_planting_runs_per_day = 3
)");
    ASSERT_TRUE(set) << set.error().message;
    const Zone& zone = set->zones.front();
    EXPECT_EQ(zone.name, "zone 1");
    const Drip& drip = std::get<Drip>(zone.application);
    EXPECT_EQ(drip.emitters, 60);
    EXPECT_EQ(drip.l_per_h_each, 4.0);
    EXPECT_EQ(drip.wetted_m2, 30.0);
    EXPECT_EQ(drip.plants, 20);
    EXPECT_FALSE(zone.area_m2);
    EXPECT_EQ(zone.soil.available_water_mm_per_m, 150.0);
    EXPECT_EQ(zone.exposure, Exposure::hot);
    EXPECT_EQ(zone.salinity->tolerated_ec_ds_per_m, 4.0);
    EXPECT_EQ(zone.rain_credit->rule, RainRule::share);
    EXPECT_EQ(zone.rain_credit->share, 0.25);
    EXPECT_TRUE((*zone.dormant_months)[0] && (*zone.dormant_months)[1]);
    EXPECT_FALSE((*zone.dormant_months)[2]);
    EXPECT_EQ(zone.new_planting->until, (CalendarDay{2030, 5, 15}));
    EXPECT_EQ(zone.new_planting->runs_per_day, 3);
    EXPECT_FALSE(set->price);
    EXPECT_EQ(set->rules.allowed_days.rule, DayRule::any);
}

TEST(ZoneFile, ReadsWaterByAnyUnit) {
    const auto litres = [](const std::string& unit) {
        const auto set =
            read("[water]\nunit = \"" + unit + "\"\ntiers = [{ price = 2 }]\n" + zone_with(""));
        EXPECT_TRUE(set) << set.error().message;
        return set->price->litres_per_unit;
    };
    EXPECT_NEAR(litres("hundred cubic feet"), 2831.6846592, 1e-9);  // 100 · 0.3048³ m³
    EXPECT_EQ(litres("ccf"), litres("hundred cubic feet"));
    EXPECT_NEAR(litres("gal"), 3.785411784, 1e-12);
    EXPECT_EQ(litres("m3"), 1000.0);
    EXPECT_EQ(litres("l"), 1.0);
}

TEST(ZoneFile, NamesLineAndNearestKeyOfAMistake) {
    EXPECT_EQ(message_of(zone_with("soyl = \"loam\"")),
              "garden.toml:5: unknown key \"soyl\" in [[zone]]; did you mean \"soil\"?");
    EXPECT_EQ(message_of("[site]\nwindow_hour = 8\n" + zone_with("")),
              "garden.toml:2: unknown key \"window_hour\" in [site]; did you mean "
              "\"window_hours\"?");
    EXPECT_EQ(message_of(zone_with("window_hours = 8")),
              "garden.toml:5: unknown key \"window_hours\" in [[zone]]; it belongs in [site]");
    EXPECT_EQ(message_of("watr = 8\n" + zone_with("")),
              "garden.toml:1: unknown key \"watr\" in the zone file; did you mean "
              "\"water\"?");
    EXPECT_EQ(message_of("window_hours = 8\n" + zone_with("")),
              "garden.toml:1: the key \"window_hours\" is outside of every table; it belongs "
              "in [site]");
    EXPECT_EQ(
        message_of("[water]\nunit = \"m3\"\ntiers = [{ upto = 3, price = 1 }]\n" + zone_with("")),
        "garden.toml:3: unknown key \"upto\" in a tier; it has \"up_to\" and \"price\"");
}

TEST(ZoneFile, NamesLineAndKeyOfAValueThatDoesNotFit) {
    for (const auto& [line, says] : std::initializer_list<std::pair<const char*, const char*>>{
             {"slope_percent = \"steep\"",
              "garden.toml:5: the key \"slope_percent\" must be a number from 0 to 100, not "
              "\"steep\""},
             {"slope_percent = 101", "from 0 to 100"},
             {"slope_percent = nan", "from 0 to 100"},
             {"slope_percent = inf", "from 0 to 100"},
             {"root_depth_in = 0", "from 0.99 to 110"},
             {"soil = \"mud\"", "must be \"clay\", \"silty clay\""},
             {"soil = 3", "must be \"clay\""},
             {"rain_credit = 1.5", "\"soil-storage\", or a number from 0 to 1"},
             {"rain_credit = \"all\"", "\"half\", \"none\" or \"soil-storage\""},
             {"dormant_months = [13]", "a list of months"},
             {"dormant_months = [1.5]", "a list of months"},
             {"dormant_months = \"Jan\"", "a list of months"},
             {"name = \" \"", "text that is not empty"},
             {"new_planting_until = \"2030-02-30\"", "a date such as"}}) {
        EXPECT_NE(message_of(zone_with(line)).find(says), std::string::npos)
            << line << "\n"
            << message_of(zone_with(line));
    }
    const auto site = [](const std::string& line) {
        return message_of("[site]\n" + line + "\n" + zone_with(""));
    };
    EXPECT_NE(site("allowed_days = [\"Moonday\"]").find("weekdays such as \"Mon"),
              std::string::npos);
    EXPECT_NE(site("allowed_days = []").find("weekdays such as \"Mon"), std::string::npos);
    EXPECT_NE(site("days_per_week_cap = 2.5").find("a whole number from 1 to 7"),
              std::string::npos);
    EXPECT_NE(message_of("[[zone]]\ncoefficient = [1, 2]\narea_m2 = 1\nrate_mm_per_h = 20\n")
                  .find("one number or twelve, each from 0 to 1.5"),
              std::string::npos);
}

TEST(ZoneFile, SaysWhatToWriteInstead) {
    const auto error_of = [](const std::string& text) {
        const auto set = read(text);
        return set ? std::string("none") : message_of(text) + " / " + set.error().hint;
    };
    EXPECT_NE(error_of("[[zone]]\nplanting = \"trees\"\n").find("for shrubs, trees and beds give"),
              std::string::npos);
    EXPECT_NE(error_of("[[zone]]\narea_ft2 = \"1,000\"\n")
                  .find("from 0.11 to 100 million, not \"1,000\" / write 1000, without a comma"),
              std::string::npos)
        << error_of("[[zone]]\narea_ft2 = \"1,000\"\n");
    EXPECT_EQ(error_of(zone_with("new_planting_minutes = 6\nnew_planting_from = 2027-05-15\n"
                                 "new_planting_until = 2027-03-01")),
              "garden.toml:7: the key \"new_planting_until\" is before \"new_planting_from\" (line "
              "6); correct one of them / ");
    EXPECT_NE(error_of("[[restriction]]\nfrom = \"10-01\"\nto = \"04-30\"\n" + zone_with(""))
                  .find("garden.toml:1: [[restriction]] names no rule"),
              std::string::npos);
    EXPECT_NE(error_of("[job]\ndate = \"March 1, 2027\"\n" + zone_with("")).find("a date such as"),
              std::string::npos);
}

TEST(ZoneFile, TakesWeekdaysAndDatesAsTheyAreWrittenElsewhere) {
    const auto set =
        read("[job]\ndate = 2027-03-01\n[site]\nallowed_days = \"Mon, Wed\"\n" + zone_with(""));
    ASSERT_TRUE(set) << set.error().message;
    EXPECT_EQ(set->job.date, "2027-03-01");
    EXPECT_TRUE(set->rules.allowed_days.weekdays[0]);
    EXPECT_TRUE(set->rules.allowed_days.weekdays[2]);
    EXPECT_FALSE(set->rules.allowed_days.weekdays[1]);
}

TEST(ZoneFile, NamesBothLinesOfWhatExcludesEachOther) {
    EXPECT_EQ(
        message_of(zone_with("area_ft2 = 1000")),
        "garden.toml:5: the key \"area_ft2\" gives the same quantity as \"area_m2\" (line 3); keep "
        "one of them");
    EXPECT_EQ(message_of(zone_with("distribution_uniformity = 0.7\nefficiency = 0.75")),
              "garden.toml:6: the key \"efficiency\" and \"distribution_uniformity\" (line 5) "
              "exclude each other; "
              "keep one of them");
    EXPECT_EQ(message_of(zone_with("flow_gpm = 12")),
              "garden.toml:5: the key \"flow_gpm\" and \"rate_mm_per_h\" (line 4) exclude each "
              "other; keep one of "
              "them");
    EXPECT_EQ(message_of(zone_with("plant_factor = 0.5")),
              "garden.toml:5: the key \"plant_factor\" and \"planting\" (line 2) exclude each "
              "other; keep one of "
              "them");
    EXPECT_EQ(message_of(zone_with("name = \"a\"") + zone_with("name = \"a\"")),
              "garden.toml:6: [[zone]] has the name \"a\" of the zone in line 1; give each its own "
              "name");
}

TEST(ZoneFile, HoldsTwoHundredZonesAtMost) {
    std::string zones;
    for (int i = 0; i < 201; ++i)
        zones += "[[zone]]\nplanting = \"cool turf\"\narea_m2 = 5\nrate_mm_per_h = 20\n";
    EXPECT_EQ(
        message_of(zones),
        "garden.toml: there are 201 [[zone]] tables; the maximum is 200; give each controller a "
        "file of its own");
}

TEST(ZoneFile, NamesWhatIsMissing) {
    EXPECT_EQ(message_of("[site]\nwindow_hours = 8\n"),
              "garden.toml: there is no zone; begin one with [[zone]]");
    EXPECT_EQ(message_of("[zone]\narea_m2 = 5\n"),
              "garden.toml:1: each zone is written with two brackets: [[zone]]");
    EXPECT_EQ(message_of("[[zone]]\nplanting = \"cool turf\"\nrate_mm_per_h = 20\n"),
              "garden.toml:1: [[zone]] needs the area of the zone; add \"area_ft2\" or "
              "\"area_m2\"");
    EXPECT_NE(message_of("[[zone]]\narea_m2 = 5\nrate_mm_per_h = 20\n")
                  .find("needs a planting: planting, plant_factor, species or coefficient"),
              std::string::npos);
    EXPECT_NE(message_of("[[zone]]\narea_m2 = 5\nplant_factor = 0.5\n")
                  .find("needs an application rate: rate_in_per_h, flow_gpm, "),
              std::string::npos);
    EXPECT_EQ(message_of(zone_with("plants = 5")),
              "garden.toml:5: the key \"plants\" needs \"emitters\"");
    EXPECT_EQ(message_of(zone_with("new_planting_until = 2030-05-01")),
              "garden.toml:5: the key \"new_planting_until\" needs \"new_planting_minutes\"");
    EXPECT_EQ(message_of("[water]\nunit = \"m3\"\n" + zone_with("")),
              "garden.toml:1: [water] lacks the key \"tiers\"");
    EXPECT_NE(message_of("[water]\nunit = \"m3\"\ntiers = [{ up_to = 5 }]\n" + zone_with(""))
                  .find("garden.toml:3: a tier lacks its \"price\""),
              std::string::npos);
    EXPECT_NE(
        message_of("[water]\nunit = \"m3\"\ntiers = [{ up_to = 5, price = 1 }]\n" + zone_with(""))
            .find("garden.toml:1: [water] "),
        std::string::npos)
        << "a last tier that ends";
}

TEST(ZoneFile, DistinguishesAMissingFileFromInvalidToml) {
    const auto absent = read_zone_file(test::path_in_test_folder("absent.toml"));
    ASSERT_FALSE(absent);
    EXPECT_EQ(absent.error().code, ErrorCode::io);
    const auto folder = read_zone_file("/");
    ASSERT_FALSE(folder);
    EXPECT_EQ(folder.error().code, ErrorCode::io);
    EXPECT_NE(message_of("[[zone]\n").find("this is not TOML"), std::string::npos);
}

TEST(ZoneFile, ReadsRulesAsTheyAreWritten) {
    const auto set = read(R"([site]
house_number = 1428
allowed_days = "by address"
window_hours = 8
window_start = "22:00"
barred_hours = "10:00-18:00"
minutes_per_day_cap = 20
cycles_per_day_cap = 2
exempt = ["drip", "new plantings"]

[controller]
valves_at_once = 1

[[restriction]]
from = "11-01"
to = "02-28"
address_days = "odd: Sat; even: Sun"
weekly_depth_cap_in = 1
)" + zone_with("exempt_zone = true"));
    ASSERT_TRUE(set) << set.error().message;
    const LocalRules& rules = set->rules;
    EXPECT_EQ(rules.allowed_days.rule, DayRule::even_dates);
    EXPECT_EQ(rules.window_start->minutes, 22 * 60);
    ASSERT_EQ(rules.barred_hours.size(), 1U);
    EXPECT_EQ(rules.barred_hours[0].from_minutes, 600);
    EXPECT_EQ(rules.minutes_per_day_cap, 20.0);
    EXPECT_EQ(rules.cycles_per_day_cap, 2);
    EXPECT_TRUE(rules.exempt.drip && rules.exempt.new_plantings);
    ASSERT_EQ(rules.restrictions.size(), 1U);
    const Restriction& winter = rules.restrictions[0];
    EXPECT_EQ(winter.dates.first.month, 11);
    EXPECT_EQ(winter.dates.last.day, 28);
    EXPECT_EQ(winter.allowed_days->weekdays,
              (Weekdays{false, false, false, false, false, false, true}));
    EXPECT_EQ(winter.weekly_depth_cap_mm, 25.4);
    EXPECT_TRUE(set->zones[0].is_exempt);
}

TEST(ZoneFile, ReportsMissingKeysOfRulesByAddressAndDate) {
    EXPECT_EQ(message_of("[site]\nallowed_days = \"by address\"\n" + zone_with("")),
              "garden.toml:2: the key \"allowed_days\" needs \"house_number\" in [site]");
    EXPECT_EQ(
        message_of("[site]\nhouse_number = 7\naddress_days = \"even: Mon\"\n" + zone_with("")),
        "garden.toml:3: the key \"address_days\" has no days for house number 7");
    EXPECT_EQ(message_of("[site]\nwindow_start = \"22:00\"\n" + zone_with("")),
              "garden.toml:2: the key \"window_start\" needs \"window_hours\"");
    EXPECT_EQ(message_of("[[restriction]]\nfrom = \"11-01\"\n" + zone_with("")),
              "garden.toml:1: [[restriction]] lacks the key \"to\"");
    EXPECT_NE(message_of("[restriction]\nfrom = \"11-01\"\n" + zone_with("")).find("two brackets"),
              std::string::npos);
    EXPECT_EQ(message_of("[controller]\nvalves_at_once = 2\n" + zone_with("")),
              "garden.toml:2: the key \"valves_at_once\" needs the available flow of the site, "
              "\"flow_gpm\" or \"flow_l_per_min\"");
}

// By hand: 80 ml in a can of 100 cm² is 8 mm, in 15 minutes 32 mm/h; the lowest of four is 60 ml,
// of a mean of 80.
TEST(ZoneFile, ReadsWhatWasMeasured) {
    const std::string start = "[[zone]]\nplanting = \"cool turf\"\narea_m2 = 100\n";
    const auto set =
        read(start +
             "catch_can_ml = [80, 60, 100, 80]\ncatch_can_area_cm2 = 100\n"
             "catch_can_minutes = 15\nsand_percent = 40\nclay_percent = 18\n"
             "field_capacity_percent = 28\nwilting_point_percent = 13\n"
             "[meter]\nunit = \"m3\"\nreadings = [ { date = 2027-05-01, reading = 10 }, "
             "{ date = \"2027-06-01\", reading = 12.5 } ]\n");
    ASSERT_TRUE(set) << set.error().message;
    const Zone& zone = set->zones[0];
    EXPECT_NEAR(std::get<ApplicationRate>(zone.application).mm_per_h, 32.0, 1e-12);
    EXPECT_NEAR(std::get<DistributionUniformity>(*zone.uniformity).lowest_quarter, 0.75, 1e-12);
    EXPECT_EQ(zone.soil.texture, SoilTexture::loam);
    EXPECT_NEAR(*zone.soil.available_water_mm_per_m, 150.0, 1e-9);
    ASSERT_TRUE(set->meter);
    EXPECT_EQ(set->meter->readings[1].reading, 12.5);

    const auto nozzle = read(start + "nozzle_l_per_min = 6\nnozzle_area_m2 = 20\n");
    ASSERT_TRUE(nozzle) << nozzle.error().message;
    EXPECT_NEAR(std::get<ApplicationRate>(nozzle->zones[0].application).mm_per_h, 18.0, 1e-12);

    EXPECT_EQ(message_of(start + "catch_can_mm = [8, 9, 7, 8]\n"),
              "garden.toml:4: the key \"catch_can_mm\" needs \"catch_can_minutes\"");
    EXPECT_NE(message_of(start + "catch_can_mm = [8, 9, 7]\ncatch_can_minutes = 9\n")
                  .find("at least four numbers"),
              std::string::npos);
    EXPECT_NE(message_of(start + "catch_can_mm = [0, 0, 9, 9]\ncatch_can_minutes = 9\n")
                  .find("below 0.2"),
              std::string::npos);
    EXPECT_NE(message_of(zone_with("catch_can_mm = [8, 9, 7, 8]\ncatch_can_minutes = 9"))
                  .find("exclude each other"),
              std::string::npos);
    EXPECT_NE(message_of(zone_with("sand_percent = 60\nclay_percent = 50"))
                  .find("must not exceed 100% together"),
              std::string::npos);
    EXPECT_NE(
        message_of("[meter]\nunit = \"gal\"\nreadings = [ { date = 2027-06-01, reading = 5 }, "
                   "{ date = 2027-05-01, reading = 6 } ]\n" +
                   zone_with(""))
            .find("in order of their dates"),
        std::string::npos);
}

/// Whatever a file holds, it costs a message at most.
TEST(ZoneFile, SurvivesCutsAndChangedBytes) {
    const std::string whole = kContract;
    const std::string bytes{'\0', '"', '[', '=', '\xFF', '9', '\n'};
    for (std::size_t at = 0; at < whole.size(); at += 3) {
        std::string changed = whole;
        changed[at] = bytes[at / 3 % bytes.size()];
        for (const std::string& text : {whole.substr(0, at), changed}) {
            const auto set = read(text);
            if (set) continue;
            EXPECT_EQ(set.error().code, ErrorCode::bad_input);
            EXPECT_FALSE(set.error().message.empty());
        }
    }
}

}  // namespace
}  // namespace thirstline
