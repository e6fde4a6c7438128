#include "lookup/site_output/units.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

Environment with(const char* lc_all, const char* lc_measurement, const char* lang) {
    return {.lc_all = lc_all,
            .lc_measurement = lc_measurement,
            .lc_ctype = {},
            .lang = lang,
            .database = {}};
}

TEST(Units, FollowTheTerritoryOfTheLocale) {
    using enum UnitSystem;
    EXPECT_EQ(unit_system_of_locale(with("", "", "en_US.UTF-8")), us);
    EXPECT_EQ(unit_system_of_locale(with("", "", "es_US")), us);
    EXPECT_EQ(unit_system_of_locale(with("", "", "en_LR@x")), us);
    EXPECT_EQ(unit_system_of_locale(with("", "", "my_MM.UTF-8")), us);
    EXPECT_EQ(unit_system_of_locale(with("", "", "en_GB.UTF-8")), metric);
    EXPECT_EQ(unit_system_of_locale(with("", "", "de_DE.UTF-8")), metric);
    for (const char* name : {"", "C", "POSIX", "C.UTF-8", "en", "USA", "us_DE"}) {
        EXPECT_EQ(unit_system_of_locale(with("", "", name)), metric) << name;
    }
}

TEST(Units, LcAllGoesBeforeLcMeasurementBeforeLang) {
    using enum UnitSystem;
    EXPECT_EQ(unit_system_of_locale(with("C", "en_US.UTF-8", "en_US.UTF-8")), metric);
    EXPECT_EQ(unit_system_of_locale(with("", "de_DE.UTF-8", "en_US.UTF-8")), metric);
    EXPECT_EQ(unit_system_of_locale(with("", "en_US.UTF-8", "de_DE.UTF-8")), us);
    EXPECT_EQ(unit_system_of_locale(with("en_US", "de_DE", "de_DE")), us);
}

TEST(Units, BlockCharactersNeedAUtf8Locale) {
    const auto utf8 = [](const char* all, const char* ctype, const char* lang) {
        return locale_is_utf8(
            {.lc_all = all, .lc_measurement = {}, .lc_ctype = ctype, .lang = lang, .database = {}});
    };
    EXPECT_TRUE(utf8("", "", "en_US.UTF-8"));
    EXPECT_TRUE(utf8("", "C.utf8", "C"));
    EXPECT_FALSE(utf8("", "", ""));
    EXPECT_FALSE(utf8("C", "en_US.UTF-8", "en_US.UTF-8"));
    EXPECT_FALSE(utf8("", "", "en_US.ISO-8859-1"));
}

TEST(Units, ConvertByTheirDefinitions) {
    EXPECT_EQ(inches(25.4), 1.0);
    EXPECT_EQ(feet(0.3048), 1.0);
    EXPECT_EQ(miles(1.609344), 1.0);
    EXPECT_EQ(fahrenheit(0.0), 32.0);
    EXPECT_EQ(fahrenheit(100.0), 212.0);
    EXPECT_EQ(unit_system_named("us"), UnitSystem::us);
    EXPECT_EQ(unit_system_named("metric"), UnitSystem::metric);
    EXPECT_FALSE(unit_system_named("imperial"));
}

}  // namespace
}  // namespace thirstline
