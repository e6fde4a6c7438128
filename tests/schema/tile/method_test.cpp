#include "schema/tile/method.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string>
#include <vector>

namespace thirstline {
namespace {

std::vector<Method> every_method() {
    std::vector<Method> methods;
    for (int correction = 0; correction <= 3; ++correction) {
        for (const EtoEquation equation :
             {EtoEquation::grid_of_eto, EtoEquation::hargreaves_scaled, EtoEquation::hargreaves}) {
            methods.push_back({equation, {}, {}, {}, static_cast<SiteCorrection>(correction)});
        }
        for (int humidity = 0; humidity <= 4; ++humidity) {
            for (int wind = 0; wind <= 2; ++wind) {
                for (int radiation = 0; radiation <= 4; ++radiation) {
                    methods.push_back(
                        {EtoEquation::penman_monteith, static_cast<HumidityFrom>(humidity),
                         static_cast<WindFrom>(wind), static_cast<RadiationFrom>(radiation),
                         static_cast<SiteCorrection>(correction)});
                }
            }
        }
    }
    return methods;
}

TEST(MethodCode, EveryMethodHasItsOwnCode) {
    std::set<std::uint16_t> codes;
    for (const Method& method : every_method()) {
        const std::uint16_t code = method_code(method);
        EXPECT_LE(code, 4095);
        EXPECT_EQ(method_of_code(code), method);
        EXPECT_TRUE(codes.insert(code).second);
    }
    EXPECT_EQ(codes.size(), 4U * (3 + 5 * 3 * 5));
}

TEST(MethodCode, FollowsThePublishedBits) {
    EXPECT_EQ(method_code({}), 1024);
    EXPECT_EQ(method_code({EtoEquation::penman_monteith, HumidityFrom::aridity_depression,
                           WindFrom::two_m_per_s, RadiationFrom::temperature_range,
                           SiteCorrection::not_done_rain_unknown}),
              1024 + 4 * 128 + 2 * 32 + 4 * 4 + 2);
    EXPECT_EQ(method_code({.equation = EtoEquation::hargreaves}), 3072);
}

TEST(MethodCode, FieldsWithoutAMeaningCountAsNothing) {
    EXPECT_EQ(method_code({EtoEquation::hargreaves, HumidityFrom::dew_point, WindFrom::nearby,
                           RadiationFrom::cloud, SiteCorrection::not_wanted}),
              method_code(
                  {.equation = EtoEquation::hargreaves, .correction = SiteCorrection::not_wanted}));
}

TEST(MethodCode, AGreaterCodeIsALesserMethod) {
    const Method full;
    const auto worse = [](Method a, Method b) { return method_code(a) > method_code(b); };
    // What each step costs decides: temperature alone > humidity > wind > radiation > correction.
    EXPECT_TRUE(worse({.equation = EtoEquation::hargreaves},
                      {.equation = EtoEquation::hargreaves_scaled,
                       .correction = SiteCorrection::not_done_grid_of_eto}));
    EXPECT_TRUE(worse(
        {.equation = EtoEquation::hargreaves_scaled},
        {EtoEquation::penman_monteith, HumidityFrom::aridity_depression, WindFrom::two_m_per_s,
         RadiationFrom::temperature_range, SiteCorrection::not_done_grid_of_eto}));
    EXPECT_TRUE(
        worse({.humidity = HumidityFrom::dew_point},
              {.wind = WindFrom::two_m_per_s, .radiation = RadiationFrom::temperature_range}));
    EXPECT_TRUE(worse({.wind = WindFrom::nearby}, {.radiation = RadiationFrom::temperature_range}));
    EXPECT_TRUE(worse({.radiation = RadiationFrom::sunshine},
                      {.correction = SiteCorrection::not_done_grid_of_eto}));
    EXPECT_TRUE(worse({.correction = SiteCorrection::not_wanted}, full));
}

TEST(MethodText, SaysWhatWasUsed) {
    EXPECT_EQ(method_name({}), "penman-monteith");
    EXPECT_EQ(method_note({}), "");
    EXPECT_EQ(method_name({.equation = EtoEquation::grid_of_eto}), "eto-grid");
    EXPECT_EQ(method_name({.equation = EtoEquation::hargreaves}), "hargreaves-samani");
    EXPECT_NE(method_note({.equation = EtoEquation::hargreaves}), "");
    const std::string note = method_note({.humidity = HumidityFrom::dew_point,
                                          .wind = WindFrom::two_m_per_s,
                                          .radiation = RadiationFrom::cloud});
    EXPECT_NE(note.find("dew point"), std::string::npos);
    EXPECT_NE(note.find("2 m/s"), std::string::npos);
    EXPECT_NE(note.find("cloud"), std::string::npos);
    for (const Method& method : every_method()) {
        EXPECT_FALSE(method_name(method).empty());
        EXPECT_FALSE(site_correction_text(method.correction).empty());
        EXPECT_EQ(method_note(method).empty(),
                  method.equation == EtoEquation::penman_monteith &&
                      method.humidity == HumidityFrom::vapour_pressure &&
                      method.wind == WindFrom::given && method.radiation == RadiationFrom::given);
    }
}

// The names are part of the contract of the JSON output: "reference" and "none".
TEST(MethodText, NamesTheSiteCorrection) {
    EXPECT_EQ(site_correction_text(SiteCorrection::reference), "reference");
    EXPECT_EQ(site_correction_text(SiteCorrection::not_wanted), "none");
    EXPECT_EQ(site_correction_text(SiteCorrection::not_done_rain_unknown).substr(0, 4), "none");
}

// A code that no version has written must not lead anywhere strange.
TEST(MethodText, IgnoresUnknownCodes) {
    for (int code = 0; code <= 65'535; ++code) {
        const Method method = method_of_code(static_cast<std::uint16_t>(code));
        EXPECT_FALSE(method_name(method).empty());
        (void)method_note(method);
    }
}

}  // namespace
}  // namespace thirstline
