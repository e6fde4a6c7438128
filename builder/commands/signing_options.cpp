#include "builder/commands/signing_options.hpp"

#include "builder/commands/output_paths.hpp"

namespace thirstline {

void SigningOptions::declare(CLI::App& app) {
    app.add_option("--sign-key", key_,
                   "secret key made by minisign; writes a signature to the output's name with "
                   ".minisig")
        ->type_name("FILE")
        ->group("Signature");
    app.add_option("--sign-password", password_,
                   "file whose first line is the password of the secret key")
        ->type_name("FILE")
        ->group("Signature");
}

Result<std::optional<SecretKey>> SigningOptions::key() const {
    if (key_.empty() && !password_.empty())
        return fail(ErrorCode::usage, "--sign-password needs --sign-key");
    if (key_.empty()) return std::nullopt;
    return TRY(read_secret_key(key_, password_));
}

Result<std::optional<SecretKey>> key_for_output(const SigningOptions& options,
                                                const std::string& output, bool overwrite) {
    auto key = options.key();
    if (key && *key) TRY(refuse_existing(output + std::string(kSignatureSuffix), overwrite));
    return key;
}

Result<void> sign_if_asked(const std::optional<SecretKey>& key, const std::string& output) {
    return key ? write_signature(output, *key) : Result<void>{};
}

}  // namespace thirstline
