#include "schema/base/nearest_name.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

// Kukich 1992, ACM Computing Surveys 24(4): the classic pair, three steps (value from memory).
TEST(EditDistance, ClassicPair) {
    EXPECT_EQ(edit_distance_quarters("kitten", "sitting"), 12U);
}

TEST(EditDistance, CountsEveryKindOfStepOnce) {
    EXPECT_EQ(edit_distance_quarters("", ""), 0U);
    EXPECT_EQ(edit_distance_quarters("unit", "unit"), 0U);
    EXPECT_EQ(edit_distance_quarters("unit", "uit"), 4U);
    EXPECT_EQ(edit_distance_quarters("uit", "unit"), 4U);
    EXPECT_EQ(edit_distance_quarters("unit", "umit"), 4U);
    EXPECT_EQ(edit_distance_quarters("unit", "untit"), 4U);
    EXPECT_EQ(edit_distance_quarters("path", "ptah"), 4U) << "neighbours swapped";
    EXPECT_EQ(edit_distance_quarters("", "abc"), 12U);
    EXPECT_EQ(edit_distance_quarters("degc", "degC"), 1U);
}

TEST(NearestName, FindsWhatWasMeant) {
    EXPECT_EQ(nearest_name("spacing_arcsecs", {"path", "spacing_arcsec", "bbox"}),
              "spacing_arcsec");
    EXPECT_EQ(nearest_name("DEGC", {"degF", "K", "degC"}), "degC");
    EXPECT_EQ(nearest_name("C", {"K", "degC"}), "degC");
    EXPECT_EQ(nearest_name("tmx", {"tmin", "tmax", "tmean"}), "tmax");
    EXPECT_EQ(nearest_name("x", {"a", "b"}), "a") << "the first of several";
    EXPECT_EQ(nearest_name("x", {}), "");
}

TEST(NearestName, IsOfferedOnlyIfItIsNear) {
    EXPECT_EQ(did_you_mean("tmx", {"tmin", "tmax"}), "did you mean \"tmax\"?");
    EXPECT_EQ(did_you_mean("C", {"K", "degC"}), "did you mean \"degC\"?");
    EXPECT_EQ(did_you_mean("sunny", {"average", "shaded", "hot"}), "");
    EXPECT_EQ(did_you_mean("most", {"none", "half"}), "");
    EXPECT_EQ(did_you_mean("feet", {"m", "ft"}), "did you mean \"ft\"?");
    EXPECT_EQ(did_you_mean("metre", {"ft", "m"}), "did you mean \"m\"?");
    EXPECT_EQ(did_you_mean("degC", {"mm", "in"}), "");
    EXPECT_EQ(did_you_mean("", {"none"}), "");
    EXPECT_EQ(did_you_mean("none", {}), "");
    EXPECT_EQ(did_you_mean_clause("soyl", {"soil"}), "; did you mean \"soil\"?");
    EXPECT_EQ(did_you_mean_clause("name", {"soil"}), "");
}

}  // namespace
}  // namespace thirstline
