// Questions as people type them, on a real file: the contiguous United States at 900 arc-seconds
// from CRU CL 1.0 (New, Hulme and Jones 1999) and ETOPO5 with GeoNames' postal codes. Skipped if
// the data are not available in the folder named by THIRSTLINE_OPEN_DATA.
#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <vector>

#include "tests/support/open_climate.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

class OpenQuestions : public testing::Test {
  protected:
    static inline std::unique_ptr<TempFolder> folder_;

    static void SetUpTestSuite() {
        const std::string data =
            test::open_data_folder({"cru-cl1-1961-1990", "elevation", "postal"});
        if (data.empty()) return;
        folder_ = std::make_unique<TempFolder>();
        test::write_text(*folder_ / "us.toml",
                         "[baseline]\ntitle = \"Contiguous United States\"\n"
                         "period = \"1961-1990\"\n[lattice]\nspacing_arcsec = 900\n"
                         "bbox = [-125, 24, -66.5, 49.5]\nreach_km = 25\n" +
                             test::open_grids(data) + "[[postal]]\ncountry = \"US\"\npath = \"" +
                             data + "/postal/geonames_US.txt.gz\"\nlayout = \"geonames\"\n");
        built_ = test::builder({"build", *folder_ / "us.toml", "-o", *folder_ / "us.sqlite"});
    }
    static void TearDownTestSuite() { folder_.reset(); }

    void SetUp() override {
        if (!folder_) GTEST_SKIP() << test::kNoOpenData;
        ASSERT_EQ(built_.status, 0) << built_.err;
    }

    static test::ProgramRun site(std::vector<std::string> question) {
        question.insert(question.begin(), {"site", "--db", *folder_ / "us.sqlite"});
        return test::lookup(question);
    }
    static void expect_answer(const std::vector<std::string>& question, const std::string& start) {
        const test::ProgramRun run = site(question);
        EXPECT_EQ(run.status, 0) << run.err;
        EXPECT_TRUE(run.out.starts_with(start)) << run.out.substr(0, 80);
    }
    static void expect_miss(const std::vector<std::string>& question, int status,
                            const std::string& says) {
        const test::ProgramRun run = site(question);
        EXPECT_EQ(run.status, status) << question.back() << run.out.substr(0, 80);
        EXPECT_NE(run.err.find(says), std::string::npos) << question.back() << '\n' << run.err;
        EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    }

  private:
    static inline test::ProgramRun built_;
};

TEST_F(OpenQuestions, AcceptTheCountryWithTheCode) {
    for (const char* typed : {"68847", "US 68847", "68847,US", "68847, us", "us-68847", " 68847 ",
                              "68847-1234", "68847 US"})
        expect_answer({"--postal", typed}, "Kearney, US 68847\n");
}

TEST_F(OpenQuestions, SuggestCodesNearOneThatIsMissing) {
    // No code of this number; 00501 is the smallest there is.
    expect_miss({"--postal", "00500"}, 1,
                "the nearest codes of US in the file are 00501, 00544; a "
                "code of post-office boxes or of one organization");
    expect_miss({"--postal", "688477"}, 1, "\"688477\" is not a valid US postal code");
    expect_miss({"--postal", "K1A 0B1"}, 1, "it has those of US");
    expect_miss({"--postal", "6884"}, 1, "did you mean 06884?");
}

TEST_F(OpenQuestions, ShowThePlacesOfAName) {
    expect_miss({"--postal", "Kearney"}, 1,
                "64060 US (Kearney, 39.4 N 94.4 W), 68845 US (Kearney, 40.8 N 99.1 W), 25430 US "
                "(Kearneysville, 39.3 N 78.0 W)");
    // One code for each place of the name, those of exactly that name first.
    expect_miss({"--postal", "springfield"}, 1, "01101 US (Springfield, 42.1 N 72.6 W), 03284 US");
    for (const char* typed : {"Eugene OR", "Eugene, Oregon", "eugene, or"})
        expect_miss({"--postal", typed}, 1, "97401 US (Eugene, 44.1 N 123.1 W)");
    expect_miss({"--postal", "St. Louis"}, 1, "63101 US (Saint Louis, 38.6 N 90.2 W)");
    expect_miss({"--postal", "Nowhereville"}, 1, "has no postal code NOWHEREVILLE");
}

TEST_F(OpenQuestions, NoticeForgottenSignsAndSwappedCoordinates) {
    expect_answer({"--at", "40.7136,-99.0779"}, "40.7136 N, 99.0779 W\n");
    expect_miss({"--at", "40.7136,99.0779"}, 1,
                "did you mean 40.7136,-99.0779? longitude is "
                "negative west of Greenwich");
    expect_miss({"--at", "-99.0779,40.7136"}, 2, "latitude and longitude look swapped");
    expect_miss({"--at", "-81.5,28.25"}, 1, "did you mean 28.25,-81.5? latitude comes first");
}

TEST_F(OpenQuestions, AcceptElevationsWithTheirUnit) {
    for (const char* typed : {"5280ft", "5280 ft", "1609m", "1609 m"})
        expect_answer({"--postal", "80202", "--units", "us", "--elevation", typed},
                      "Denver, US 80202\n");
    expect_miss({"--postal", "80202", "--units", "metric", "--elevation", "5280"}, 2,
                "name its unit, such as 5280ft or 1609m");
    expect_miss({"--postal", "80202", "--elevation", "high"}, 2, "not \"high\"");
}

TEST_F(OpenQuestions, NameTheOptionThatIsMissing) {
    expect_miss({"80202"}, 2, "name a postal code with --postal 80202");
    expect_miss({"--zip", "80202"}, 2, "did you mean --postal?");
    expect_miss({"--at", "40.7", "-99.1"}, 2, "write coordinates without a space");
}

}  // namespace
}  // namespace thirstline
