#include "schema/text/utf8_text.hpp"

#include <gtest/gtest.h>

#include <string>

namespace thirstline {
namespace {

TEST(Utf8Text, KeepsLettersOfAllScriptsAndLineEnds) {
    for (const char* text : {"", "Nether Pan\n", "High Orrë", "±5 mm", "北京", "😀", "a\u00A0b"})
        EXPECT_EQ(terminal_text(text), text);
}

TEST(Utf8Text, RemovesTerminalControls) {
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

TEST(Utf8Text, CharactersHaveTheirNumbers) {
    EXPECT_EQ(utf8_sequence_at("a", 0).character, U'a');
    EXPECT_EQ(utf8_sequence_at("ë", 0).character, U'ë');
    EXPECT_EQ(utf8_sequence_at("\u202E", 0).character, U'\u202E');
    EXPECT_EQ(utf8_sequence_at("😀", 0).character, U'😀');
}

}  // namespace
}  // namespace thirstline
