#include "schema/base/sha256.hpp"

#include <nettle/base64.h>
#include <nettle/sha2.h>

#include <array>

namespace thirstline {
namespace {

using Digest = std::array<std::uint8_t, SHA256_DIGEST_SIZE>;

Digest digest_of(sha256_ctx& context) {
    Digest digest{};
    sha256_digest(&context, digest.size(), digest.data());
    return digest;
}

}  // namespace

struct Sha256::State {
    sha256_ctx context;
};

Sha256::Sha256() : state_(std::make_unique<State>()) {
    sha256_init(&state_->context);
}
Sha256::~Sha256() = default;
Sha256::Sha256(Sha256&&) noexcept = default;
Sha256& Sha256::operator=(Sha256&&) noexcept = default;

void Sha256::add(std::span<const std::uint8_t> bytes) {
    sha256_update(&state_->context, bytes.size(), bytes.data());
}

void Sha256::add(std::string_view text) {
    sha256_update(&state_->context, text.size(),
                  reinterpret_cast<const std::uint8_t*>(text.data()));
}

std::string Sha256::hex_digest() {
    const Digest digest = digest_of(state_->context);
    constexpr std::string_view kDigits = "0123456789abcdef";
    std::string hex;
    hex.reserve(2 * digest.size());
    for (const std::uint8_t byte : digest) {
        hex += kDigits[byte >> 4];
        hex += kDigits[byte & 15];
    }
    return hex;
}

std::string Sha256::base64_digest() {
    const Digest digest = digest_of(state_->context);
    std::string text(BASE64_ENCODE_RAW_LENGTH(digest.size()), '\0');
    base64_encode_raw(text.data(), digest.size(), digest.data());
    return text;
}

}  // namespace thirstline
