// Names in all encodings become UTF-8.
#include "builder/inputs/text_encoding.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

std::string utf8(const std::string& encoding, const std::string& bytes) {
    const auto recoder = TextRecoder::open(encoding);
    EXPECT_TRUE(recoder) << encoding;
    return recoder ? recoder->utf8(bytes) : "";
}

TEST(TextEncoding, KnownEncodings) {
    EXPECT_EQ(utf8("UTF-8", "Éverby"), "Éverby");
    EXPECT_EQ(utf8("latin1", "\xC9verby"), "Éverby");
    EXPECT_EQ(utf8("ISO-8859-2", "Z\xB3oty"), "Złoty");
    EXPECT_EQ(utf8("cp1252", "\x93M\x94"), "\u201CM\u201D");
    EXPECT_EQ(utf8("SHIFT_JIS", "\x90\xEC"), "川");
    EXPECT_EQ(utf8("latin1", ""), "");
}

TEST(TextEncoding, BytesThatAreNotWhatTheyClaimAreTakenForLatin1) {
    EXPECT_EQ(utf8("UTF-8", "\xC9verby"), "Éverby");
    EXPECT_EQ(utf8("UTF-8", "Merrow\xB0"), "Merrow°");
    // And the recoder goes on afterwards.
    const auto recoder = TextRecoder::open("UTF-8");
    ASSERT_TRUE(recoder);
    EXPECT_EQ(recoder->utf8("\xC9"), "É");
    EXPECT_EQ(recoder->utf8("Élan"), "Élan");
}

TEST(TextEncoding, RejectsUnknownAndUnsuitableEncodings) {
    for (const char* name : {"", "latin", "UTF-16", "UTF-16LE", "UTF-32", "EBCDIC-US", "UTF-8//x"})
        EXPECT_FALSE(TextRecoder::open(name)) << name;
}

}  // namespace
}  // namespace thirstline
