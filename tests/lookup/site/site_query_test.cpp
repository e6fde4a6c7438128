#include "lookup/site/site_query.hpp"

#include <gtest/gtest.h>

#include <ctime>

#include "lookup/site/site_hints.hpp"
#include "schema/database/postal_codes.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

TEST(SiteQuery, NormalizesUsCodesToFiveDigits) {
    for (const char* text : {"97401", "97401-1234", "974011234", " 97401 ", "97401 1234"}) {
        EXPECT_EQ(normalised_postal_code("US", text).value(), "97401") << text;
    }
    EXPECT_EQ(normalised_postal_code("US", "00501").value(), "00501");
    for (const char* text : {"7401", "974", "9740", "974012", "97401-12", "9740A", "97401-12345",
                             "", "-97401", "97 401"}) {
        const auto code = normalised_postal_code("US", text);
        ASSERT_FALSE(code) << text;
        EXPECT_EQ(code.error().code, ErrorCode::usage);
    }
    EXPECT_NE(normalised_postal_code("US", "7401").error().hint.find("07401"), std::string::npos);
    EXPECT_NE(normalised_postal_code("US", "501").error().hint.find("00501"), std::string::npos);
    EXPECT_NE(normalised_postal_code("US", "7401-1234").error().hint.find("07401"),
              std::string::npos);
    EXPECT_TRUE(normalised_postal_code("US", "9740A").error().hint.empty());
}

TEST(SiteQuery, NormalizesCanadianCodesToTheirFirstHalf) {
    for (const char* text : {"K1A 0B1", "k1a0b1", "K1A-0B1", " k1a ", "K1A"}) {
        EXPECT_EQ(normalised_postal_code("CA", text).value(), "K1A") << text;
    }
    for (const char* text : {"K1", "K1A 0B", "K1A 0B12", "11A", "KAA", "K1A0B1X", ""}) {
        EXPECT_FALSE(normalised_postal_code("CA", text)) << text;
    }
}

TEST(SiteQuery, NormalizesMexicanAndOtherCodes) {
    EXPECT_EQ(normalised_postal_code("MX", "06000").value(), "06000");
    EXPECT_FALSE(normalised_postal_code("MX", "6000"));
    EXPECT_NE(normalised_postal_code("MX", "6000").error().hint.find("06000"), std::string::npos);
    EXPECT_EQ(normalised_postal_code("XM", "  ab \t 1 ").value(), "AB 1");
    EXPECT_EQ(normalised_postal_code("XM", "4021").value(), "4021");
    EXPECT_FALSE(normalised_postal_code("XM", " "));
    EXPECT_FALSE(normalised_postal_code("XM", "4021;DROP"));
    EXPECT_FALSE(normalised_postal_code("XM", "12345678901234567"));
}

TEST(SiteQuery, CountriesAreTwoLetters) {
    EXPECT_EQ(normalised_country(" us ").value(), "US");
    for (const char* text : {"", "U", "USA", "U1", "U S"}) EXPECT_FALSE(normalised_country(text));
}

TEST(SiteQuery, MissesUnknownCodesWithoutReadingTheWholeTable) {
    const std::string path = test::merrow_database();
    // As many as the United States have; none of them is asked for.
    test::run_on_file(path,
                      "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < "
                      "40000) INSERT INTO postal SELECT 'A' || i, 'XM', '', 0, 0, 0 FROM n");
    test::reseal_rows(path);
    const auto database = std::move(*Database::open(path));
    const std::clock_t start = std::clock();
    for (int i = 0; i < 20'000; ++i) {
        const auto finding = find_postal_code(*database, "B" + std::to_string(i), "XM");
        ASSERT_TRUE(finding && finding->miss);
    }
    const double seconds = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    EXPECT_LT(seconds, 0.5);
    const auto other = find_postal_code(*database, "B1", "XO");
    EXPECT_EQ(other->miss->reason, "the file has no postal codes of XO");
}

class PostalLookup : public testing::Test {
  protected:
    std::unique_ptr<Database> database_ = test::open_merrow();

    SiteFinding found(std::string_view code, std::string_view country = "") {
        auto finding = find_postal_code(*database_, code, country);
        EXPECT_TRUE(finding) << (finding ? "" : finding.error().message);
        return finding.value_or(SiteFinding{});
    }
};

TEST_F(PostalLookup, FindsWithAndWithoutACountry) {
    const SiteFinding ford = found("4021", "xm");
    EXPECT_FALSE(ford.miss);
    EXPECT_EQ(ford.query.position, (LatLonE7{472'500'000, -305'000'000}));
    EXPECT_EQ(ford.query.place, "Merrow Ford");
    EXPECT_EQ(found("ab  1").query.place, "Upper Mill");
    EXPECT_EQ(found("04021").query.country, "US");
    EXPECT_EQ(found("04021-7788").query.postal, "04021");
    EXPECT_EQ(found("k1a 0b1").query.country, "CA");
    EXPECT_EQ(found("97401-1234").query.country, "US");  // no Mexican code looks like that
    EXPECT_EQ(found("97401", "MX").query.place, "Salto");
}

TEST_F(PostalLookup, AsksForTheCountryOfAnAmbiguousCodeAndListsThem) {
    const auto finding = find_postal_code(*database_, "97401", "");
    ASSERT_FALSE(finding);
    EXPECT_EQ(finding.error().code, ErrorCode::usage);
    EXPECT_NE(finding.error().message.find("MX, US"), std::string::npos);
    EXPECT_NE(finding.error().hint.find("--country"), std::string::npos);
    // One text, two meanings: a long code of US, and a code of XN as it stands.
    const auto other = find_postal_code(*database_, "97401 1000", "");
    ASSERT_FALSE(other);
    EXPECT_NE(other.error().message.find("US, XN"), std::string::npos) << other.error().message;
}

TEST_F(PostalLookup, AnUnknownCodeIsAMiss) {
    EXPECT_TRUE(found("97402", "US").miss);
    EXPECT_TRUE(found("97402").miss);
    EXPECT_EQ(found("97402-1000", "US").query.postal, "97402");
    const SiteFinding lost = found("7401");
    ASSERT_TRUE(lost.miss);
    EXPECT_NE(lost.miss->hint.find("07401"), std::string::npos);
    const SiteFinding nowhere = found("1000", "XX");
    ASSERT_TRUE(nowhere.miss);
    EXPECT_NE(nowhere.miss->reason.find("XX"), std::string::npos);
    EXPECT_NE(nowhere.miss->hint.find("CA, MX, US, XM, XN"), std::string::npos);
}

TEST_F(PostalLookup, TakesACountryBeforeOrAfterTheCode) {
    for (const char* text : {"MX 97401", "mx-97401", "97401,MX", "97401, mx", " 97401 MX "})
        EXPECT_EQ(found(text).query.place, "Salto") << text;
    // A code that looks so itself goes first.
    EXPECT_EQ(found("AB 1").query.place, "Upper Mill");
    EXPECT_EQ(found("XN 9000").query.place, "Far Out");
    const SiteFinding miss = found("US 97499");
    ASSERT_TRUE(miss.miss);
    EXPECT_EQ(miss.miss->reason, "the file has no postal code 97499 of US");
    // The file has no codes of QQ, so this is a code as it stands.
    EXPECT_EQ(found("QQ 97401").query.postal, "QQ 97401");
}

TEST_F(PostalLookup, SuggestsAdjacentCodesAndThoseOfAPlace) {
    const auto hint = [this](std::string_view typed, std::string_view country = "") {
        return unknown_postal_hint(*database_, found(typed, country).query, typed).value();
    };
    EXPECT_TRUE(hint("97402", "US").starts_with("the nearest codes of US in the file are 97401;"))
        << hint("97402", "US");
    EXPECT_EQ(hint("50000", "US"), "");
    EXPECT_EQ(hint("merrow f"),
              "use the postal code of the place: 4021 XM (Merrow Ford, 47.3 N 30.5 W)");
    EXPECT_EQ(hint("far"),
              "use the postal code of the place: 9000 XN (Far Out, 0.0 N 0.0 E), 97401 1000 XN "
              "(Far Side, 47.4 N 30.3 W)");
    EXPECT_EQ(hint("nowhere"), "");
}

TEST_F(PostalLookup, NoticesAWrongSign) {
    const auto hint = [this](LatLonE7 at) { return wrong_sign_hint(*database_, at).value(); };
    EXPECT_EQ(hint({472'500'000, 305'000'000}),
              "did you mean 47.25,-30.5? longitude is negative west of Greenwich");
    EXPECT_EQ(hint({-472'500'000, -305'000'000}),
              "did you mean 47.25,-30.5? latitude is negative south of the equator");
    EXPECT_EQ(hint({0, 0}), "");
}

TEST_F(PostalLookup, AMalformedCodeIsAUsageError) {
    for (const auto& [code, country] : {std::pair{"974", "US"}, std::pair{"?", ""},
                                        std::pair{"97401", "USA"}, std::pair{"K1", "CA"}}) {
        const auto finding = find_postal_code(*database_, code, country);
        ASSERT_FALSE(finding) << code;
        EXPECT_EQ(finding.error().code, ErrorCode::usage);
    }
}

}  // namespace
}  // namespace thirstline
