// Makes the signatures of file_signature.hpp, with a secret key of minisign.
#pragma once

#include <array>
#include <cstdint>
#include <string>

#include "schema/base/result.hpp"
#include "schema/signature/file_signature.hpp"

namespace thirstline {

inline constexpr std::size_t kSecretKeyBytes = 64;

/// Its bytes are overwritten when it ends.
struct SecretKey {
    KeyId id{};
    std::array<std::uint8_t, kSecretKeyBytes> bytes{};

    SecretKey() = default;
    SecretKey(const SecretKey&) = default;
    SecretKey& operator=(const SecretKey&) = default;
    ~SecretKey();
};

/// The secret key in a file. `password_path` names a file whose first line is its password; empty
/// for a key without one. Errors: io; bad_input for a file of another form, a missing or a wrong
/// password.
[[nodiscard]] Result<SecretKey> read_secret_key(const std::string& path,
                                                const std::string& password_path);

[[nodiscard]] PublicKey public_half(const SecretKey& key);

/// Deterministic: the same file, key and comment give the same bytes. The comment is one line.
/// Errors: io.
[[nodiscard]] Result<FileSignature> signature_of(const std::string& path, const SecretKey& key,
                                                 const std::string& comment);

/// Writes the signature of `path` to `path` + kSignatureSuffix, completely or not at all; the
/// signed comment is the file's name. Errors: io.
[[nodiscard]] Result<void> write_signature(const std::string& path, const SecretKey& key);

}  // namespace thirstline
