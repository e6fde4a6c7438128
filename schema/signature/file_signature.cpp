#include "schema/signature/file_signature.hpp"

#include <sodium.h>

#include <algorithm>
#include <filesystem>
#include <vector>

#include "schema/files/whole_file.hpp"
#include "schema/platform/system_path.hpp"
#include "schema/signature/key_lines.hpp"

namespace thirstline {

static_assert(kPublicKeyBytes == crypto_sign_PUBLICKEYBYTES);
static_assert(kSignatureBytes == crypto_sign_BYTES);
static_assert(kFileHashBytes == crypto_generichash_BYTES_MAX);

namespace {

constexpr std::string_view kOfKey = "Ed";
constexpr std::string_view kOfHash = "ED";     ///< signs the file's hash
constexpr std::string_view kOfContent = "Ed";  ///< signs the file itself: minisign before 0.6
constexpr std::string_view kUnsignedComment = "untrusted comment: ";
constexpr std::string_view kSignedComment = "trusted comment: ";
constexpr std::size_t kKeyLineBytes = kOfKey.size() + kKeyIdBytes + kPublicKeyBytes;
constexpr std::size_t kSignatureLineBytes = kOfHash.size() + kKeyIdBytes + kSignatureBytes;

using Bytes = std::vector<std::uint8_t>;

void append(Bytes& bytes, std::string_view text) {
    bytes.insert(bytes.end(), text.begin(), text.end());
}

bool begins_with(const Bytes& bytes, std::string_view text) {
    return std::equal(text.begin(), text.end(), bytes.begin());
}

std::optional<PublicKey> key_of_line(std::string_view line) {
    const auto bytes = base64_bytes(line, kKeyLineBytes);
    if (!bytes || !begins_with(*bytes, kOfKey)) return std::nullopt;
    PublicKey key;
    const auto id = bytes->begin() + kOfKey.size();
    std::copy(id, id + kKeyIdBytes, key.id.begin());
    std::copy(id + kKeyIdBytes, bytes->end(), key.point.begin());
    return key;
}

bool has_signed(const PublicKey& key, std::span<const std::uint8_t> message,
                const std::array<std::uint8_t, kSignatureBytes>& signature) {
    return crypto_sign_verify_detached(signature.data(), message.data(), message.size(),
                                       key.point.data()) == 0;
}

}  // namespace

std::string key_id_text(const KeyId& id) {
    constexpr std::string_view kDigits = "0123456789ABCDEF";
    std::string text;
    // The last byte first, as minisign shows it.
    for (auto byte = id.rbegin(); byte != id.rend(); ++byte) {
        text += kDigits[*byte >> 4U];
        text += kDigits[*byte & 15U];
    }
    return text;
}

std::string public_key_line(const PublicKey& key) {
    Bytes bytes;
    append(bytes, kOfKey);
    bytes.insert(bytes.end(), key.id.begin(), key.id.end());
    bytes.insert(bytes.end(), key.point.begin(), key.point.end());
    return base64_text(bytes);
}

std::vector<std::uint8_t> signed_comment(const FileSignature& signature) {
    Bytes bytes(signature.of_hash.begin(), signature.of_hash.end());
    append(bytes, signature.comment);
    return bytes;
}

std::string signature_text(const FileSignature& signature) {
    Bytes bytes;
    append(bytes, kOfHash);
    bytes.insert(bytes.end(), signature.key.begin(), signature.key.end());
    bytes.insert(bytes.end(), signature.of_hash.begin(), signature.of_hash.end());
    return std::string(kUnsignedComment) + "signature by the key " + key_id_text(signature.key) +
           "\n" + base64_text(bytes) + "\n" + std::string(kSignedComment) + signature.comment +
           "\n" + base64_text(signature.of_comment) + "\n";
}

Result<PublicKey> public_key_of(const std::string& text) {
    if (const auto key = key_of_line(text)) return *key;
    std::error_code ignored;
    if (!std::filesystem::exists(system_path(text), ignored)) {
        return fail(ErrorCode::usage,
                    "the public key must be a file or a line of 56 characters that begins with "
                    "\"RW\", not \"" +
                        text + "\"");
    }
    const auto content = TRY(text_of_file(text, text, kMaxKeyFileBytes));
    // A file may have only the line of the key, without the comment above it.
    for (const std::size_t line : {1, 0})
        if (const auto key = key_of_line(line_of(content, line))) return *key;
    return fail(ErrorCode::bad_input, text + " is not a public key for Ed25519 signatures",
                "the publisher's public key is a line of 56 characters that begins with \"RW\"");
}

Result<FileSignature> read_signature(const std::string& path) {
    const auto content = TRY(text_of_file(path, path, kMaxKeyFileBytes));
    const auto bytes = base64_bytes(line_of(content, 1), kSignatureLineBytes);
    const auto of_comment = base64_bytes(line_of(content, 3), kSignatureBytes);
    const std::string_view comment = line_of(content, 2);
    if (bytes && begins_with(*bytes, kOfContent)) {
        return fail(ErrorCode::bad_input,
                    path + " signs the file itself and not its hash, which is not supported",
                    "sign the file with minisign 0.6 or later");
    }
    if (!bytes || !of_comment || !begins_with(*bytes, kOfHash) ||
        !comment.starts_with(kSignedComment)) {
        return fail(ErrorCode::bad_input, path + " is not a signature");
    }
    FileSignature signature;
    const auto id = bytes->begin() + kOfHash.size();
    std::copy(id, id + kKeyIdBytes, signature.key.begin());
    std::copy(id + kKeyIdBytes, bytes->end(), signature.of_hash.begin());
    signature.comment = comment.substr(kSignedComment.size());
    std::copy(of_comment->begin(), of_comment->end(), signature.of_comment.begin());
    return signature;
}

Result<FileHash> file_hash(const std::string& path) {
    crypto_generichash_state state;
    crypto_generichash_init(&state, nullptr, 0, kFileHashBytes);
    TRY(for_each_piece(path, path, [&state](std::string_view piece) -> Result<void> {
        crypto_generichash_update(&state, reinterpret_cast<const std::uint8_t*>(piece.data()),
                                  piece.size());
        return {};
    }));
    FileHash hash;
    crypto_generichash_final(&state, hash.data(), hash.size());
    return hash;
}

Result<std::string> verified_comment(const std::string& path, const std::string& signature_path,
                                     const PublicKey& key) {
    const auto signature = TRY(read_signature(signature_path));
    if (signature.key != key.id) {
        return fail(ErrorCode::bad_database,
                    signature_path + " was made with the key " + key_id_text(signature.key) +
                        ", not with the key " + key_id_text(key.id),
                    "ask the publisher for the file, or for the current public key");
    }
    const auto hash = TRY(file_hash(path));
    if (!has_signed(key, hash, signature.of_hash)) {
        return fail(ErrorCode::bad_database,
                    path + " is not the file that was signed in " + signature_path,
                    "do not use it; get the file and its signature from the publisher");
    }
    if (!has_signed(key, signed_comment(signature), signature.of_comment)) {
        return fail(ErrorCode::bad_database,
                    "the comment in " + signature_path + " is not the one that was signed",
                    "do not use the file; get it and its signature from the publisher");
    }
    return signature.comment;
}

}  // namespace thirstline
