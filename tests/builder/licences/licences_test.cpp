// What licences allow together. What each licence says is in builder/licences/licences.toml, with
// its standing; here the arithmetic is checked.
#include "builder/licences/licences.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>

#include "builder/licences/licence_text.hpp"

namespace thirstline {
namespace {

class LicenceArithmetic : public testing::Test {
  protected:
    void SetUp() override {
        auto known = Licences::known();
        ASSERT_TRUE(known) << known.error().message;
        licences_ = std::move(*known);
    }
    LicenceSummary of(const std::vector<LicensedSource>& sources) const {
        return licence_summary(licences_, sources);
    }
    Licences licences_;
};

TEST_F(LicenceArithmetic, TheTableIsSound) {
    std::set<std::string> words;
    for (const Licence& licence : licences_.all()) {
        ASSERT_FALSE(licence.words.empty()) << licence.title;
        EXPECT_FALSE(licence.title.empty()) << licence.words.front();
        EXPECT_TRUE(licence.standing == "read" || licence.standing == "second-hand" ||
                    licence.standing == "from memory")
            << licence.words.front();
        for (const std::string& word : licence.words) {
            EXPECT_TRUE(words.insert(word).second) << word << " occurs twice";
            EXPECT_EQ(licences_.find(word), &licence) << word;
        }
        // What may be mixed in must itself be in the table.
        for (const std::string& word : licence.beside)
            EXPECT_NE(licences_.find(word), nullptr) << word;
        EXPECT_TRUE(licence.is_share_alike || licence.beside.empty()) << licence.title;
        // Who may not hand a file on cannot sell it either.
        EXPECT_TRUE(licence.may_be_passed_on || !licence.allows_commercial_use) << licence.title;
    }
}

TEST_F(LicenceArithmetic, WordsAreFoundHoweverTheyAreWritten) {
    const Licence* attribution = licences_.find("CC-BY-4.0");
    ASSERT_NE(attribution, nullptr);
    for (const char* word : {"cc-by-4.0", "CC BY 4.0", "cc_by_4.0"})
        EXPECT_EQ(licences_.find(word), attribution) << word;
    for (const char* word : {"", "-", "CC-BY-5.0", "see the terms"})
        EXPECT_EQ(licences_.find(word), nullptr) << word;
}

TEST_F(LicenceArithmetic, FreeSourcesAllowEverything) {
    const LicenceSummary summary = of({{"Warmth", "CC0-1.0", "Merrow Weather Office"},
                                       {"Rain", "public-domain", "Merrow Weather Office"}});
    EXPECT_FALSE(restricts_publishing(summary));
    EXPECT_TRUE(summary.attributions.empty());
    EXPECT_EQ(publishing_restriction(summary), "");
    const std::string text = licence_summary_text(summary);
    for (const char* part : {"not legal advice", "may be passed on: yes", "commercial use: yes",
                             "attribution: not required", "from memory"})
        EXPECT_NE(text.find(part), std::string::npos) << text;
}

TEST_F(LicenceArithmetic, AttributionsAreShownOnceInOrder) {
    const LicenceSummary summary = of({{"A", "CC-BY-4.0", "Upland Climate Group"},
                                       {"B", "CC0-1.0", "Merrow Weather Office"},
                                       {"C", "CC-BY-4.0", "Openfield, accessed YYYY-MM-DD"},
                                       {"D", "CC-BY-4.0", "Upland Climate Group"}});
    EXPECT_EQ(summary.attributions,
              (std::vector<std::string>{"Upland Climate Group", "Openfield, accessed YYYY-MM-DD"}));
    EXPECT_EQ(summary.without_date, std::vector<std::string>{"C"});
    EXPECT_NE(licence_summary_text(summary).find("YYYY-MM-DD in the attribution of C"),
              std::string::npos);
}

TEST_F(LicenceArithmetic, OneNonCommercialSourceRestrictsTheFile) {
    const LicenceSummary summary =
        of({{"A", "CC-BY-4.0", "a"}, {"Wind", "non-commercial", "w"}, {"B", "CC0-1.0", ""}});
    EXPECT_TRUE(restricts_publishing(summary));
    ASSERT_EQ(summary.non_commercial.size(), 1U);
    EXPECT_EQ(summary.non_commercial[0].name, "Wind");
    EXPECT_TRUE(summary.not_to_be_passed_on.empty());
    EXPECT_EQ(publishing_restriction(summary),
              "the license \"non-commercial\" of \"Wind\" does not allow commercial use");
    EXPECT_EQ(licence_summary_json(summary)["commercial_use"], "no");
    EXPECT_EQ(licence_summary_json(summary)["may_be_passed_on"], "yes");
}

TEST_F(LicenceArithmetic, NamesRestrictionsFirst) {
    const LicenceSummary summary =
        of({{"Wind", "CC-BY-NC-4.0", "w"}, {"Warmth", "WorldClim-terms", "t"}});
    EXPECT_EQ(publishing_restriction(summary),
              "the license \"WorldClim-terms\" of \"Warmth\" does not allow passing the data on");
    EXPECT_EQ(licence_summary_json(summary)["may_be_passed_on"], "no");
}

TEST_F(LicenceArithmetic, ShareAlikeAcceptsOnlyWhatItNames) {
    const LicenceSummary alone = of({{"A", "ODbL-1.0", "a"}, {"B", "CC0-1.0", ""}});
    EXPECT_TRUE(alone.clashes.empty());
    EXPECT_EQ(alone.share_alike.size(), 1U);
    EXPECT_FALSE(restricts_publishing(alone));

    const LicenceSummary mixed = of({{"A", "ODbL-1.0", "a"},
                                     {"B", "CC-BY-4.0", "b"},
                                     {"C", "CC-BY-4.0", "c"},
                                     {"D", "CC-BY-SA-4.0", "d"}});
    // ODbL with CC BY, ODbL with CC BY-SA; CC BY-SA accepts CC BY.
    ASSERT_EQ(mixed.clashes.size(), 2U);
    EXPECT_EQ(mixed.clashes[0].other.name, "B");
    EXPECT_EQ(mixed.clashes[1].other.name, "D");
    EXPECT_TRUE(restricts_publishing(mixed));
    EXPECT_EQ(licence_summary_json(mixed)["may_be_passed_on"], "unclear");
}

TEST_F(LicenceArithmetic, AnUnknownLicenceIsNamedAndNotGuessed) {
    const LicenceSummary summary =
        of({{"A", "Terms of the valley", "a"}, {"B", "terms of the Valley", "b"}});
    ASSERT_EQ(summary.unknown.size(), 1U);
    EXPECT_FALSE(restricts_publishing(summary));
    EXPECT_EQ(summary.attributions, (std::vector<std::string>{"a", "b"}));
    EXPECT_EQ(licence_summary_json(summary)["commercial_use"], "unclear");
    EXPECT_NE(licence_summary_text(summary).find("not known to this program"), std::string::npos);
}

}  // namespace
}  // namespace thirstline
