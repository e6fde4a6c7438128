#include "lookup/demand_output/demand_page.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <vector>

#include "schema/base/sha256.hpp"
#include "schema/text/html_text.hpp"
#include "tests/support/demand_reports.hpp"

namespace thirstline {
namespace {

std::size_t count_of(const std::string& text, std::string_view part) {
    std::size_t count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++count;
    }
    return count;
}

/// Names of elements left open or closed out of turn; empty for a well-formed page.
std::string unbalanced(const std::string& page) {
    std::vector<std::string> open;
    const std::array<std::string_view, 2> void_elements{"meta", "!DOCTYPE"};
    for (std::size_t at = page.find('<'); at != std::string::npos; at = page.find('<', at + 1)) {
        const std::size_t end = page.find('>', at);
        if (end == std::string::npos) return "a tag without end";
        const std::string tag = page.substr(at + 1, end - at - 1);
        if (tag.ends_with('/')) continue;
        const std::string name = tag.substr(0, tag.find_first_of(" \n"));
        if (std::find(void_elements.begin(), void_elements.end(), name) != void_elements.end()) {
            continue;
        }
        if (!name.starts_with('/')) {
            open.push_back(name);
        } else if (open.empty() || open.back() != name.substr(1)) {
            return name;
        } else {
            open.pop_back();
        }
    }
    return open.empty() ? "" : open.back();
}

TEST(DemandPage, IsWellFormedWhateverNamesHold) {
    for (const UnitSystem units : {UnitSystem::us, UnitSystem::metric}) {
        EXPECT_EQ(unbalanced(demand_page(test::merrow_demand(test::three_zones()), {units})), "");
        EXPECT_EQ(unbalanced(demand_page(test::full_demand(), {units})), "");
        EXPECT_EQ(unbalanced(demand_page(
                      test::merrow_demand(test::three_zones(), {.no_eto_at_all = true}), {units})),
                  "");
    }
}

TEST(DemandPage, EscapesEverythingFromData) {
    const std::string page = demand_page(test::full_demand(), {UnitSystem::metric});
    EXPECT_EQ(page.find("<script"), std::string::npos);
    EXPECT_EQ(page.find("\xFF"), std::string::npos);
    EXPECT_GT(count_of(page,
                       "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &amp; "
                       "&quot;beds&quot; \xC3\xBC \xEF\xBF\xBD"),
              10U);
    EXPECT_EQ(escaped("a\x01\nb\x7F"), "a  b ");
}

TEST(DemandPage, NeedsNoNetworkAndNoScript) {
    const std::string page =
        demand_page(test::merrow_demand(test::three_zones()), {UnitSystem::us});
    for (const char* part : {"http://", "https://", "<script", "<link", "<img", "@import",
                             "src=", " style=\"", "javascript:", " on"}) {
        const std::size_t body = page.find("<body>");
        const bool is_word =
            std::string_view(part) == " on";  // "… on average": words, not handlers
        EXPECT_TRUE(is_word || page.find(part) == std::string::npos) << part;
        EXPECT_NE(body, std::string::npos);
    }
    EXPECT_EQ(count_of(page, "<style>"), 1U);
    // What the policy allows is this very style and nothing else.
    const std::size_t start = page.find("<style>") + 7;
    Sha256 hash;
    hash.add(std::string_view(page).substr(start, page.find("</style>") - start));
    EXPECT_NE(page.find("content=\"default-src 'none'; style-src 'sha256-" + hash.base64_digest() +
                        "'; base-uri 'none'; form-action 'none'\""),
              std::string::npos);
}

TEST(DemandPage, HasTextForScreenReaders) {
    const std::string page =
        demand_page(test::merrow_demand(test::three_zones()), {UnitSystem::metric});
    EXPECT_NE(page.find("<html lang=\"en\">"), std::string::npos);
    EXPECT_NE(page.find("<title>Watering plan, Merrow Ford, XM 4021</title>"), std::string::npos);
    EXPECT_EQ(count_of(page, "<h1>"), 1U);
    EXPECT_NE(page.find("role=\"img\" aria-labelledby=\"chart-title chart-text\""),
              std::string::npos);
    EXPECT_NE(page.find("<title id=\"chart-title\">"), std::string::npos);
    EXPECT_NE(page.find("Plant need is greatest in July"), std::string::npos);
    EXPECT_EQ(count_of(page, "<th>"), 0U);
    EXPECT_EQ(count_of(page, "scope=\"row\""), 13U + 12U);
}

TEST(DemandPage, ShowsEverythingThatACustomerMustSee) {
    const DemandReport report = test::merrow_demand(test::three_zones());
    const std::string page = demand_page(report, {UnitSystem::metric});
    for (const char* part :
         {"Base schedule (peak month = 100%)", "Seasonal adjustment by month (%)",
          "In millimeters a month", "Days per week: cycles × minutes", "Month-by-month settings",
          "Peak schedule all season", "MRW ", "Rain sensor", "±", "not an 80th-percentile dry year",
          "Cautions", "Assumptions and defaults", "Sources", "Merrow station normals",
          "Check local watering rules", "(not checked against the source)",
          "(checked against the source)"}) {
        EXPECT_NE(page.find(part), std::string::npos) << part;
    }
    EXPECT_EQ(page.find("class=\"alarm\""), std::string::npos);
    EXPECT_LT(page.find("<h2>Cautions</h2>"), page.find("<h2>Base schedule"));
    const std::string strict = demand_page(
        test::merrow_demand(test::three_zones_of_a_strict_town()), {UnitSystem::metric});
    EXPECT_LT(strict.find("class=\"alarm\""), strict.find("Base schedule"));
    for (const Phrase& caution : report.plan.cautions) {
        EXPECT_NE(page.find(escaped(english(caution))), std::string::npos) << english(caution);
    }
}

std::string six_zones() {
    std::string zones = test::three_zones();
    std::string more = zones.substr(zones.find("[[zone]]"));
    for (const char* name : {"north lawn", "shrub border", "play meadow"}) {
        more.insert(more.find(name), "upper ");
    }
    return zones + more;
}

TEST(DemandPage, PutsManyZonesIntoEvenTables) {
    const std::string page = demand_page(test::merrow_demand(six_zones()), {UnitSystem::metric});
    EXPECT_EQ(unbalanced(page), "");
    EXPECT_EQ(count_of(page, "<div class=\"tables\">"), 1U);
    // Two tables of three zones, each with its own headings.
    EXPECT_EQ(count_of(page, "<caption>Days per week: cycles × minutes</caption>"), 2U);
    for (const char* name : {"north lawn", "upper north lawn", "upper play meadow"}) {
        EXPECT_EQ(count_of(page, std::string("<th scope=\"col\">") + name + "</th>"), 1U) << name;
    }
    const std::string few =
        demand_page(test::merrow_demand(test::three_zones()), {UnitSystem::metric});
    EXPECT_EQ(count_of(few, "<caption>Days per week: cycles × minutes</caption>"), 1U);
    // What is keyed in comes first, the reasons on a sheet of their own.
    EXPECT_LT(few.find("Days and minutes by zone"), few.find("class=\"reasons\""));
    EXPECT_LT(few.find("class=\"reasons\""), few.find("Plant need and rain by month"));
}

TEST(DemandPage, DrawsNeedAndRainToScale) {
    const std::string page =
        demand_page(test::merrow_demand(test::three_zones()), {UnitSystem::metric});
    EXPECT_EQ(count_of(page, "<circle class=\"dot\""), 12U + 1U);
    EXPECT_EQ(count_of(page, "<rect class=\"rain\""), 12U + 1U);
    // January's rain is 128 mm, July's 23: the bars' heights go as they do.
    std::vector<double> heights;
    for (std::size_t at = page.find("<rect class=\"rain\""); at != std::string::npos;
         at = page.find("<rect class=\"rain\"", at + 1)) {
        const std::size_t height = page.find("height=\"", at) + 8;
        heights.push_back(std::stod(page.substr(height)));
    }
    EXPECT_NEAR(heights[6] / heights[0], 23.0 / 128.0, 0.002);
}

}  // namespace
}  // namespace thirstline
