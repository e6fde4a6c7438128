// Who published a file: a detached signature next to it, checked with the publisher's public key.
//
// Signatures and keys have the form of minisign (Debian's package of that name): Ed25519 (RFC 8032)
// over the BLAKE2b-512 (RFC 7693) of the file, as lines of text, so that anyone can make and check
// them without Thirstline. The cryptography is libsodium's.
//
// Thread safety: pure functions of the files they name.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

inline constexpr std::size_t kKeyIdBytes = 8;
inline constexpr std::size_t kPublicKeyBytes = 32;
inline constexpr std::size_t kSignatureBytes = 64;
inline constexpr std::size_t kFileHashBytes = 64;

/// "merrow.sqlite" is signed in "merrow.sqlite.minisig".
inline constexpr std::string_view kSignatureSuffix = ".minisig";

using KeyId = std::array<std::uint8_t, kKeyIdBytes>;
using FileHash = std::array<std::uint8_t, kFileHashBytes>;

struct PublicKey {
    KeyId id{};
    std::array<std::uint8_t, kPublicKeyBytes> point{};
};

struct FileSignature {
    KeyId key{};
    std::array<std::uint8_t, kSignatureBytes> of_hash{};
    std::string comment;  ///< one line, signed too
    std::array<std::uint8_t, kSignatureBytes> of_comment{};
};

/// 16 hexadecimal digits, as minisign shows a key.
[[nodiscard]] std::string key_id_text(const KeyId& id);

/// The line that names a key: 56 characters of Base64, "RW…".
[[nodiscard]] std::string public_key_line(const PublicKey& key);

/// What `of_comment` signs.
[[nodiscard]] std::vector<std::uint8_t> signed_comment(const FileSignature& signature);

/// The text of a signature file: four lines.
[[nodiscard]] std::string signature_text(const FileSignature& signature);

/// `text` is the line of a key or the name of a file with it. Errors: usage for neither; io.
[[nodiscard]] Result<PublicKey> public_key_of(const std::string& text);

/// Errors: io; bad_input for a file of another form, or of minisign's first form, which signs the
/// file itself and not its hash.
[[nodiscard]] Result<FileSignature> read_signature(const std::string& path);

/// Errors: io.
[[nodiscard]] Result<FileHash> file_hash(const std::string& path);

/// That the holder of `key` has signed `path`, as it is now, in `signature_path`. Returns the
/// signed comment. Errors: those of read_signature and file_hash; bad_database if another key was
/// used, or if the file or the comment is not what was signed.
[[nodiscard]] Result<std::string> verified_comment(const std::string& path,
                                                   const std::string& signature_path,
                                                   const PublicKey& key);

}  // namespace thirstline
