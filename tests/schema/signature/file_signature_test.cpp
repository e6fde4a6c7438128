#include "schema/signature/file_signature.hpp"

#include <gtest/gtest.h>

#include <fstream>

#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

// Made by Debian's minisign 0.11: `minisign -G -W`, and `minisign -S` of a file that holds
// "merrow\n".
constexpr const char* kKeyLine = "RWRKurrNV/CefbSguek26gBErNT6pTEriwJ+ixkrYsYRXqaURp4Q0EEM";
constexpr const char* kSignature =
    "untrusted comment: signature from minisign secret key\n"
    "RURKurrNV/CefS7WVUrboE8H7N95WkX/6b7ZOe7OZTRt/"
    "oZiApWyU0mvbfJrMbqRVP+K8CZV3vJbhtER8wq6pCeSNj0s8h9sJAk=\n"
    "trusted comment: file:f\n"
    "aYYaLr71oug2D4vCqMzdVop7ZmWKqKLCbv5IAUOP/vVmuPf7LHpMPGdMpDVq5lxv/K+B9NwV0j/KRFcIzqvvCg==\n";

class FileSignatureTest : public ::testing::Test {
  protected:
    void write(const std::string& content, const std::string& signature) const {
        std::ofstream(file_, std::ios::binary) << content;
        std::ofstream(signature_, std::ios::binary) << signature;
    }
    [[nodiscard]] Result<std::string> verified(const std::string& key = kKeyLine) const {
        return public_key_of(key).and_then(
            [this](const PublicKey& k) { return verified_comment(file_, signature_, k); });
    }

    test::TemporaryFolder folder_;
    std::string file_ = folder_.path("f");
    std::string signature_ = folder_.path("f.minisig");
};

TEST_F(FileSignatureTest, OfMinisignIsValid) {
    write("merrow\n", kSignature);
    const auto comment = verified();
    ASSERT_TRUE(comment.has_value()) << comment.error().message;
    EXPECT_EQ(*comment, "file:f");
    EXPECT_EQ(key_id_text(public_key_of(kKeyLine)->id), "7D9EF057CDBABA4A");
    EXPECT_EQ(public_key_line(*public_key_of(kKeyLine)), kKeyLine);
    EXPECT_NE(signature_text(*read_signature(signature_)).find(std::string(kSignature).substr(54)),
              std::string::npos)
        << "all but the first line, which nobody signs, is written as minisign writes it";
}

TEST_F(FileSignatureTest, EveryFlippedBitOfTheFileIsFound) {
    for (std::size_t bit = 0; bit < 7 * 8; ++bit) {
        std::string content = "merrow\n";
        content[bit / 8] = static_cast<char>(content[bit / 8] ^ (1 << (bit % 8)));
        write(content, kSignature);
        EXPECT_EQ(verified().error().code, ErrorCode::bad_database) << bit;
    }
}

TEST_F(FileSignatureTest, EveryFlippedBitOfWhatIsSignedIsFound) {
    const std::string text = kSignature;
    // The first line is not signed.
    for (std::size_t at = text.find('\n') + 1; at < text.size(); ++at) {
        for (int bit = 0; bit < 8; ++bit) {
            std::string flipped = text;
            flipped[at] = static_cast<char>(flipped[at] ^ (1 << bit));
            write("merrow\n", flipped);
            const auto comment = verified();
            // A line's end may as well be the file's.
            if (comment && at + 1 == text.size()) continue;
            ASSERT_FALSE(comment.has_value()) << "byte " << at << ", bit " << bit;
        }
    }
}

TEST_F(FileSignatureTest, KeysOfAnotherFormAreRejected) {
    EXPECT_EQ(public_key_of("RWnothing").error().code, ErrorCode::usage);
    EXPECT_EQ(public_key_of(std::string(kKeyLine) + "A").error().code, ErrorCode::usage);
    write("merrow\n", kSignature);
    EXPECT_EQ(public_key_of(signature_).error().code, ErrorCode::bad_input);
}

}  // namespace
}  // namespace thirstline
