#include "schema/files/toml_file.hpp"

#include <gtest/gtest.h>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

Result<toml::table> document_of(const std::string& text) {
    return read_toml_file(test::file_in_test_folder("a.toml", text), "recipe");
}

std::string repeated(const std::string& text, int times) {
    std::string out;
    for (int i = 0; i < times; ++i) out += text;
    return out;
}

TEST(TomlFile, AreRefusedWhereAHeaderHasNoName) {
    // The parser asserts a key there.
    for (const char* text : {"[#1", "[#1]\n", "[[#1]]\n", "a = 1\n [ =", "[\n", "[[\na]]", "[.a]",
                             "\xC2\xA0[#1", "[\xC3\xA9]"}) {
        const auto document = document_of(text);
        ASSERT_FALSE(document.has_value()) << text;
        EXPECT_EQ(document.error().code, ErrorCode::bad_input);
        EXPECT_NE(document.error().message.find("a.toml:"), std::string::npos);
    }
}

TEST(TomlFile, AreRefusedWhereNestedTooDeep) {
    const std::string long_key = repeated("a.", 200'000) + "b";
    for (const std::string& text :
         {long_key + " = 1", "[" + long_key + "]", "[[" + long_key + "]]",
          "a = { " + long_key + " = 1 }", "a = " + repeated("[", 100'000),
          "a = " + repeated("{a=", 100'000), "\"x\"" + repeated(" . 'y'", 200'000) + " = 1"}) {
        const auto document = document_of(text);
        ASSERT_FALSE(document.has_value()) << text.substr(0, 20);
        EXPECT_EQ(document.error().code, ErrorCode::bad_input);
    }
    EXPECT_NE(document_of("x = 1\n" + long_key).error().message.find("a.toml:2:"),
              std::string::npos);
}

TEST(TomlFile, AreRefusedWhereTooLong) {
    const auto document = document_of("# " + std::string(kMaxTomlBytes, 'x'));
    ASSERT_FALSE(document.has_value());
    EXPECT_EQ(document.error().code, ErrorCode::bad_input);
    EXPECT_NE(document.error().message.find("longer"), std::string::npos);
}

TEST(TomlFile, ReadsBracketsAndDotsInTexts) {
    const std::string deep = repeated("[{.", 500);
    const auto document =
        document_of("# " + deep + "\na = \"" + deep + "\\\"" + deep + "\"\nb = '" + deep +
                    "'\nc = \"\"\"\n" + deep + "\n[#1\n\"\"\"\nd = '''\n" + deep +
                    "\n'''\n[ table ]\nx.y.z = [[1.5, 2.5],\n[#1\n3]]\n");
    ASSERT_TRUE(document.has_value()) << document.error().message;
    EXPECT_EQ((*document)["a"].value_or(std::string()), deep + "\"" + deep);
    EXPECT_EQ((*document)["b"].value_or(std::string()), deep);
    EXPECT_EQ((*document)["c"].value_or(std::string()), deep + "\n[#1\n");
    EXPECT_EQ((*document)["table"]["x"]["y"]["z"][1][0].value_or(0), 3);
}

}  // namespace
}  // namespace thirstline
