#include "schema/text/text_wrapping.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

TEST(TextWrapping, CountsCharactersAndNotBytes) {
    EXPECT_EQ(columns_of("±0.31"), 5U);
    EXPECT_EQ(columns_of("███▏"), 4U);
    EXPECT_EQ(columns_of(""), 0U);
}

TEST(TextWrapping, BreaksAtBlanksAndIndents) {
    EXPECT_EQ(wrapped("one two three", 7), "one two\nthree\n");
    EXPECT_EQ(wrapped("one two three", 8, "- ", "  "), "- one\n  two\n  three\n");
    EXPECT_EQ(wrapped("  one \n\t two  ", 20), "one two\n");
    EXPECT_EQ(wrapped("unbreakable a", 5), "unbreakable\na\n");
    EXPECT_EQ(wrapped("", 10, "- "), "");
    EXPECT_EQ(wrapped("éééé éééé", 9), "éééé éééé\n");
}

TEST(TextWrapping, AlignsByColumns) {
    EXPECT_EQ(right_aligned("±1", 4), "  ±1");
    EXPECT_EQ(left_aligned("±1", 4), "±1  ");
    EXPECT_EQ(right_aligned("12345", 4), "12345");
}

TEST(TextWrapping, BarsAreAsLongAsTheirShare) {
    EXPECT_EQ(bar(1.0, 4, true), "████");
    EXPECT_EQ(bar(0.5, 4, true), "██");
    EXPECT_EQ(bar(0.53125, 4, true), "██▏");
    EXPECT_EQ(bar(0.0, 4, true), "");
    EXPECT_EQ(bar(1.0, 4, false), "####");
    EXPECT_EQ(bar(0.6, 4, false), "##");
    EXPECT_EQ(bar(7.0, 4, false), "####");
    EXPECT_EQ(bar(-1.0, 4, false), "");
}

}  // namespace
}  // namespace thirstline
