#include "schema/signature/file_signing.hpp"

#include <sodium.h>

#include <algorithm>
#include <filesystem>
#include <vector>

#include "schema/files/whole_file.hpp"
#include "schema/signature/key_lines.hpp"

namespace thirstline {

static_assert(kSecretKeyBytes == crypto_sign_SECRETKEYBYTES);

namespace {

// A secret key file's 158 bytes: three algorithms, what scrypt needs, and the key with its
// checksum, encrypted unless the second algorithm is 0.
constexpr std::size_t kAlgorithmBytes = 2;
constexpr std::size_t kSaltBytes = crypto_pwhash_scryptsalsa208sha256_SALTBYTES;
constexpr std::size_t kLimitBytes = 8;
constexpr std::size_t kChecksumBytes = 32;
constexpr std::size_t kHiddenBytes = kKeyIdBytes + kSecretKeyBytes + kChecksumBytes;
constexpr std::size_t kSaltAt = 3 * kAlgorithmBytes;
constexpr std::size_t kOperationsAt = kSaltAt + kSaltBytes;
constexpr std::size_t kMemoryAt = kOperationsAt + kLimitBytes;
constexpr std::size_t kHiddenAt = kMemoryAt + kLimitBytes;
constexpr std::size_t kFileBytes = kHiddenAt + kHiddenBytes;

// The most that a key made by minisign asks for is 1 GiB.
constexpr std::uint64_t kMaxMemory = std::uint64_t{1} << 30U;
constexpr std::uint64_t kMaxOperations = std::uint64_t{1} << 26U;

using Bytes = std::vector<std::uint8_t>;

std::uint64_t little_endian(const Bytes& bytes, std::size_t at) {
    std::uint64_t value = 0;
    for (std::size_t i = 0; i < kLimitBytes; ++i) value |= std::uint64_t{bytes[at + i]} << (8 * i);
    return value;
}

bool has_checksum(const Bytes& file) {
    Bytes content(file.begin(), file.begin() + kAlgorithmBytes);
    const auto hidden = file.begin() + kHiddenAt;
    content.insert(content.end(), hidden, hidden + kKeyIdBytes + kSecretKeyBytes);
    std::array<std::uint8_t, kChecksumBytes> sum{};
    crypto_generichash(sum.data(), sum.size(), content.data(), content.size(), nullptr, 0);
    sodium_memzero(content.data(), content.size());
    return sodium_memcmp(sum.data(), &*hidden + kKeyIdBytes + kSecretKeyBytes, sum.size()) == 0;
}

Result<void> decrypt(Bytes& file, const std::string& path, const std::string& password_path) {
    if (password_path.empty()) {
        return fail(ErrorCode::bad_input, "the secret key " + path + " has a password",
                    "name a file with the password by --sign-password");
    }
    const auto content = TRY(text_of_file(password_path, password_path, kMaxKeyFileBytes));
    const std::string_view password = line_of(content, 0);
    const std::uint64_t operations = little_endian(file, kOperationsAt);
    const std::uint64_t memory = little_endian(file, kMemoryAt);
    if (operations > kMaxOperations || memory > kMaxMemory)
        return fail(ErrorCode::bad_input, path + " needs more work to decrypt than is accepted");
    Bytes stream(kHiddenBytes);
    const bool is_derived =
        crypto_pwhash_scryptsalsa208sha256(stream.data(), stream.size(), password.data(),
                                           password.size(), file.data() + kSaltAt, operations,
                                           static_cast<std::size_t>(memory)) == 0;
    if (!is_derived) {
        return fail(ErrorCode::io, "decrypting " + path + " needs " +
                                       std::to_string(memory >> 20U) + " MiB of memory");
    }
    for (std::size_t i = 0; i < kHiddenBytes; ++i) file[kHiddenAt + i] ^= stream[i];
    sodium_memzero(stream.data(), stream.size());
    if (has_checksum(file)) return {};
    return fail(ErrorCode::bad_input,
                "the password in " + password_path + " is not the one of the secret key " + path);
}

}  // namespace

SecretKey::~SecretKey() {
    sodium_memzero(bytes.data(), bytes.size());
}

Result<SecretKey> read_secret_key(const std::string& path, const std::string& password_path) {
    auto content = TRY(text_of_file(path, "the secret key " + path, kMaxKeyFileBytes));
    auto file = base64_bytes(line_of(content, 1), kFileBytes);
    sodium_memzero(content.data(), content.size());
    constexpr std::string_view kPlain{"Ed\0\0B2", 6};
    constexpr std::string_view kEncrypted = "EdScB2";
    const auto begins_with = [&file](std::string_view text) {
        return std::equal(text.begin(), text.end(), file->begin());
    };
    if (!file || (!begins_with(kPlain) && !begins_with(kEncrypted))) {
        return fail(ErrorCode::bad_input, path + " is not a secret key made by minisign",
                    "`minisign -G` makes a pair of keys");
    }
    if (begins_with(kEncrypted)) TRY(decrypt(*file, path, password_path));
    SecretKey key;
    const auto id = file->begin() + kHiddenAt;
    std::copy(id, id + kKeyIdBytes, key.id.begin());
    std::copy(id + kKeyIdBytes, id + kKeyIdBytes + kSecretKeyBytes, key.bytes.begin());
    sodium_memzero(file->data(), file->size());
    return key;
}

PublicKey public_half(const SecretKey& key) {
    PublicKey half;
    half.id = key.id;
    crypto_sign_ed25519_sk_to_pk(half.point.data(), key.bytes.data());
    return half;
}

Result<FileSignature> signature_of(const std::string& path, const SecretKey& key,
                                   const std::string& comment) {
    const auto hash = TRY(file_hash(path));
    FileSignature signature;
    signature.key = key.id;
    signature.comment = comment;
    crypto_sign_detached(signature.of_hash.data(), nullptr, hash.data(), hash.size(),
                         key.bytes.data());
    const Bytes message = signed_comment(signature);
    crypto_sign_detached(signature.of_comment.data(), nullptr, message.data(), message.size(),
                         key.bytes.data());
    return signature;
}

Result<void> write_signature(const std::string& path, const SecretKey& key) {
    std::string name = std::filesystem::path(path).filename().string();
    // The comment is one line.
    std::replace_if(
        name.begin(), name.end(), [](char c) { return c == '\n' || c == '\r'; }, '_');
    const auto signature = TRY(signature_of(path, key, "file:" + name));
    return write_whole_file(path + std::string(kSignatureSuffix), signature_text(signature));
}

}  // namespace thirstline
