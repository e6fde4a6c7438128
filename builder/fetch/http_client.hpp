// Downloads over http and https, through libcurl. All else is refused, redirects too.
//
// Thread safety: an object from one thread at a time.
#pragma once

#include <atomic>
#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

inline constexpr int kMaxRedirects = 5;
inline constexpr int kDefaultSilentSeconds = 60;
inline constexpr int kDefaultRetryDelaySeconds = 1;

/// What a server says of a file before its bytes.
struct HttpHead {
    int status = 0;                 ///< of the last answer, after redirects
    std::int64_t total_bytes = -1;  ///< of the whole file; -1: not stated
    std::int64_t first_byte = 0;    ///< where the body begins in the file
    std::string validator;          ///< a strong ETag, else Last-Modified; may be empty
    bool is_part = false;           ///< status 206
};

struct HttpTransfer {
    HttpHead head;
    std::optional<Error> failure;  ///< io, or interrupted; also what the body's taker returned
    bool may_pass = false;         ///< the failure may be over soon: it is worth trying again
};

/// Called with each piece of the body of an answer of status 200 or 206.
using BodyTaker = std::function<Result<void>(const HttpHead& head, std::string_view piece)>;

class HttpClient {
  public:
    /// Gives a server up that sends nothing for `silent_seconds`, or does not connect in that time
    /// (at most 30 s). `interrupted` is checked at least once a second.
    HttpClient(int silent_seconds, const std::atomic<bool>& interrupted);
    ~HttpClient();
    HttpClient(const HttpClient&) = delete;
    HttpClient& operator=(const HttpClient&) = delete;

    /// Asks for the file's head only.
    [[nodiscard]] HttpTransfer head(const std::string& url);
    /// Returns after the time, or at once when interrupted.
    void wait(std::chrono::seconds time) const;
    /// The file from byte `from` on; with `from` > 0 only if it still has the validator, else the
    /// server sends it whole (RFC 9110, Range and If-Range).
    [[nodiscard]] HttpTransfer get(const std::string& url, std::int64_t from,
                                   const std::string& validator, const BodyTaker& take);

  private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace thirstline
