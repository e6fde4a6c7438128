#include "builder/fetch/http_client.hpp"

#include <curl/curl.h>

#include <algorithm>
#include <charconv>
#include <mutex>
#include <thread>

#include "schema/base/version.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

constexpr long kConnectSeconds = 30;
constexpr long kBufferBytes = 512L * 1024;
constexpr std::chrono::milliseconds kBetweenChecks{50};

using Clock = std::chrono::steady_clock;

std::string_view trimmed(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(" \t\r\n");
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(" \t\r\n") - begin + 1);
}

std::int64_t whole_number(std::string_view text, std::int64_t otherwise) {
    std::int64_t value = 0;
    const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), value);
    const bool is_number = status == std::errc{} && end == text.data() + text.size() && value >= 0;
    return is_number ? value : otherwise;
}

/// One transfer, as libcurl's callbacks see it.
struct Transfer {
    HttpTransfer result;
    const BodyTaker* take = nullptr;
    const std::atomic<bool>* interrupted = nullptr;
    std::chrono::seconds longest_silence{kDefaultSilentSeconds};
    Clock::time_point last_heard = Clock::now();
    bool is_silent = false;  ///< given up for that reason
    std::string etag;
    std::string last_modified;
    bool states_range = false;

    void begin_answer(std::string_view line) {
        result.head = {};
        etag.clear();
        last_modified.clear();
        states_range = false;
        const std::size_t blank = line.find(' ');
        if (blank == std::string_view::npos) return;
        result.head.status =
            static_cast<int>(whole_number(trimmed(line.substr(blank)).substr(0, 3), 0));
        result.head.is_part = result.head.status == 206;
    }

    /// "bytes 100-999/1000"
    void read_range(std::string_view value) {
        if (!ascii_lower(value).starts_with("bytes ")) return;
        value = trimmed(value.substr(6));
        const std::size_t dash = value.find('-');
        const std::size_t slash = value.find('/');
        if (slash == std::string_view::npos) return;
        states_range = true;
        result.head.total_bytes = whole_number(value.substr(slash + 1), -1);
        result.head.first_byte = dash < slash ? whole_number(value.substr(0, dash), -1) : -1;
    }

    void add_header(std::string_view line) {
        if (line.starts_with("HTTP/")) return begin_answer(trimmed(line));
        const std::size_t colon = line.find(':');
        if (colon == std::string_view::npos) return;
        const std::string name = ascii_lower(line.substr(0, colon));
        const std::string_view value = trimmed(line.substr(colon + 1));
        if (name == "content-range") read_range(value);
        if (name == "content-length" && !states_range && !result.head.is_part)
            result.head.total_bytes = whole_number(value, -1);
        if (name == "etag" && !value.starts_with("W/")) etag = value;
        if (name == "last-modified") last_modified = value;
        result.head.validator = etag.empty() ? last_modified : etag;
    }

    bool has_body() const { return result.head.status == 200 || result.head.status == 206; }
};

std::size_t on_header(char* bytes, std::size_t size, std::size_t count, void* user) {
    auto& transfer = *static_cast<Transfer*>(user);
    transfer.last_heard = Clock::now();
    transfer.add_header({bytes, size * count});
    return size * count;
}

std::size_t on_body(char* bytes, std::size_t size, std::size_t count, void* user) {
    auto& transfer = *static_cast<Transfer*>(user);
    transfer.last_heard = Clock::now();
    if (!transfer.has_body() || transfer.take == nullptr) return size * count;
    auto taken = (*transfer.take)(transfer.result.head, {bytes, size * count});
    if (taken) return size * count;
    transfer.result.failure = std::move(taken.error());
    return size * count == 0 ? 1 : 0;  // any other number than the bytes' ends the transfer
}

/// libcurl's own limit (CURLOPT_LOW_SPEED_TIME) goes by a mean of some seconds, and so is late.
int on_progress(void* user, curl_off_t /*total*/, curl_off_t /*now*/, curl_off_t /*up_total*/,
                curl_off_t /*up_now*/) {
    auto& transfer = *static_cast<Transfer*>(user);
    transfer.is_silent = Clock::now() - transfer.last_heard > transfer.longest_silence;
    return transfer.is_silent || transfer.interrupted->load() ? 1 : 0;
}

bool may_pass(CURLcode code) {
    switch (code) {
        case CURLE_COULDNT_RESOLVE_HOST:
        case CURLE_COULDNT_CONNECT:
        case CURLE_PARTIAL_FILE:
        case CURLE_OPERATION_TIMEDOUT:
        case CURLE_GOT_NOTHING:
        case CURLE_SEND_ERROR:
        case CURLE_RECV_ERROR:
        case CURLE_HTTP2:
        case CURLE_HTTP2_STREAM:
            return true;
        default:
            return false;
    }
}

bool may_pass(int status) {
    return status == 408 || status == 429 || status >= 500;
}

}  // namespace

struct HttpClient::State {
    CURL* curl = nullptr;
    int silent_seconds = kDefaultSilentSeconds;
    const std::atomic<bool>& interrupted;

    explicit State(const std::atomic<bool>& flag) : interrupted(flag) {}
    ~State() { curl_easy_cleanup(curl); }
    State(const State&) = delete;
    State& operator=(const State&) = delete;

    /// What all transfers have in common.
    void set_up(const std::string& url, Transfer& transfer, char* message) {
        curl_easy_reset(curl);
        transfer.interrupted = &interrupted;
        transfer.longest_silence = std::chrono::seconds(silent_seconds);
        transfer.last_heard = Clock::now();
        curl_easy_setopt(curl, CURLOPT_URL, url.c_str());
        curl_easy_setopt(curl, CURLOPT_ERRORBUFFER, message);
        curl_easy_setopt(curl, CURLOPT_NOSIGNAL, 1L);
        curl_easy_setopt(curl, CURLOPT_PROTOCOLS_STR, "http,https");
        // What was asked for over https is not taken over http.
        curl_easy_setopt(curl, CURLOPT_REDIR_PROTOCOLS_STR,
                         url.starts_with("https:") ? "https" : "http,https");
        curl_easy_setopt(curl, CURLOPT_FOLLOWLOCATION, 1L);
        curl_easy_setopt(curl, CURLOPT_MAXREDIRS, static_cast<long>(kMaxRedirects));
        curl_easy_setopt(curl, CURLOPT_CONNECTTIMEOUT,
                         std::min<long>(kConnectSeconds, silent_seconds));
        curl_easy_setopt(curl, CURLOPT_BUFFERSIZE, kBufferBytes);
        curl_easy_setopt(curl, CURLOPT_USERAGENT,
                         (std::string("thirstline-builder/") + kProgramVersion).c_str());
        curl_easy_setopt(curl, CURLOPT_HEADERFUNCTION, on_header);
        curl_easy_setopt(curl, CURLOPT_HEADERDATA, &transfer);
        curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, on_body);
        curl_easy_setopt(curl, CURLOPT_WRITEDATA, &transfer);
        curl_easy_setopt(curl, CURLOPT_NOPROGRESS, 0L);
        curl_easy_setopt(curl, CURLOPT_XFERINFOFUNCTION, on_progress);
        curl_easy_setopt(curl, CURLOPT_XFERINFODATA, &transfer);
    }

    HttpTransfer perform(const std::string& url, Transfer& transfer, const char* message) {
        const CURLcode code = curl_easy_perform(curl);
        HttpTransfer& result = transfer.result;
        if (result.failure) return std::move(result);
        if (code != CURLE_OK) {
            if (interrupted.load()) {
                result.failure = Error{ErrorCode::interrupted, "interrupted", ""};
                return std::move(result);
            }
            const std::string reason =
                transfer.is_silent
                    ? "the server sent nothing for " + std::to_string(silent_seconds) + " s"
                : *message != '\0' ? message
                                   : curl_easy_strerror(code);
            result.failure = Error{ErrorCode::io, "downloading " + url + " failed: " + reason, ""};
            result.may_pass = transfer.is_silent || may_pass(code);
        } else if (!transfer.has_body()) {
            result.failure = Error{ErrorCode::io,
                                   "downloading " + url + " failed: the server answers " +
                                       std::to_string(result.head.status),
                                   ""};
            result.may_pass = may_pass(result.head.status);
        }
        return std::move(result);
    }
};

HttpClient::HttpClient(int silent_seconds, const std::atomic<bool>& interrupted)
    : state_(std::make_unique<State>(interrupted)) {
    static std::once_flag once;
    std::call_once(once, [] { curl_global_init(CURL_GLOBAL_DEFAULT); });
    state_->curl = curl_easy_init();
    state_->silent_seconds = silent_seconds;
}

HttpClient::~HttpClient() = default;

void HttpClient::wait(std::chrono::seconds time) const {
    const auto end = Clock::now() + time;
    while (Clock::now() < end && !state_->interrupted.load())
        std::this_thread::sleep_for(kBetweenChecks);
}

HttpTransfer HttpClient::head(const std::string& url) {
    Transfer transfer;
    char message[CURL_ERROR_SIZE] = "";
    state_->set_up(url, transfer, message);
    curl_easy_setopt(state_->curl, CURLOPT_NOBODY, 1L);
    return state_->perform(url, transfer, message);
}

HttpTransfer HttpClient::get(const std::string& url, std::int64_t from,
                             const std::string& validator, const BodyTaker& take) {
    Transfer transfer;
    transfer.take = &take;
    char message[CURL_ERROR_SIZE] = "";
    state_->set_up(url, transfer, message);
    // Set as headers, not by CURLOPT_RESUME_FROM, with which an answer of 200 would be an error.
    curl_slist* headers = nullptr;
    if (from > 0) {
        headers =
            curl_slist_append(headers, ("Range: bytes=" + std::to_string(from) + "-").c_str());
        if (!validator.empty())
            headers = curl_slist_append(headers, ("If-Range: " + validator).c_str());
        curl_easy_setopt(state_->curl, CURLOPT_HTTPHEADER, headers);
    }
    HttpTransfer result = state_->perform(url, transfer, message);
    curl_slist_free_all(headers);
    return result;
}

}  // namespace thirstline
