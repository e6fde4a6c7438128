// The options of commands that can sign what they write.
#pragma once

#include <CLI/App.hpp>
#include <optional>
#include <string>

#include "schema/base/result.hpp"
#include "schema/signature/file_signing.hpp"

namespace thirstline {

class SigningOptions {
  public:
    void declare(CLI::App& app);

    /// Read before the work, so that a wrong key costs nothing; nothing without --sign-key. Errors:
    /// usage; those of read_secret_key.
    [[nodiscard]] Result<std::optional<SecretKey>> key() const;

  private:
    std::string key_;
    std::string password_;
};

/// The same, for one file to be written; its signature may only replace another if `overwrite`.
/// Errors: usage; those of read_secret_key.
[[nodiscard]] Result<std::optional<SecretKey>> key_for_output(const SigningOptions& options,
                                                              const std::string& output,
                                                              bool overwrite);

/// Errors: io.
[[nodiscard]] Result<void> sign_if_asked(const std::optional<SecretKey>& key,
                                         const std::string& output);

}  // namespace thirstline
