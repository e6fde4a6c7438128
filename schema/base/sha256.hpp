// SHA-256 (FIPS 180-4), through Nettle.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace thirstline {

class Sha256 {
  public:
    Sha256();
    ~Sha256();
    Sha256(Sha256&&) noexcept;
    Sha256& operator=(Sha256&&) noexcept;

    void add(std::span<const std::uint8_t> bytes);
    void add(std::string_view text);

    /// 64 lower-case hexadecimal digits. Resets the object.
    [[nodiscard]] std::string hex_digest();
    /// The digest in Base64 (RFC 4648), as content security policies require it. Also resets the
    /// object.
    [[nodiscard]] std::string base64_digest();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace thirstline
