#include "schema/text/utf8_text.hpp"

#include <gtest/gtest.h>

#include <string>

namespace thirstline {
namespace {

TEST(Utf8Text, KeepsLettersOfAllScriptsAndLineEnds) {
    for (const char* text : {"", "Nether Pan\n", "High Orrë", "±5 mm", "北京", "😀", "a\u00A0b"})
        EXPECT_EQ(terminal_text(text), text);
}

TEST(Utf8Text, LosesWhatSteersATerminal) {
    EXPECT_EQ(terminal_text("a\x1B[2Jb"), "a\uFFFD[2Jb");
    EXPECT_EQ(terminal_text("\x9B"
                            "1m"),
              "\uFFFD1m");                             // not UTF-8 at all
    EXPECT_EQ(terminal_text("\u009B1m"), "\uFFFD1m");  // C1: CSI
    EXPECT_EQ(terminal_text("a\rb\tc\bd\x7F"), "a\uFFFDb\uFFFDc\uFFFDd\uFFFD");
    for (const char* character : {"\u202E", "\u2066", "\u200F", "\u061C", "\u2028"})
        EXPECT_EQ(terminal_text(std::string("x") + character + "y"), "x\uFFFDy");
    EXPECT_EQ(terminal_text(std::string("a\0b", 3)), "a\uFFFDb");
}

TEST(Utf8, CharactersHaveTheirNumbers) {
    EXPECT_EQ(utf8_character("a"), U'a');
    EXPECT_EQ(utf8_character("ë"), U'ë');
    EXPECT_EQ(utf8_character("\u202E"), U'\u202E');
    EXPECT_EQ(utf8_character("😀"), U'😀');
}

}  // namespace
}  // namespace thirstline
