#include "builder/fetch/download.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <sstream>
#include <utility>

#include "schema/files/file_replacement.hpp"
#include "schema/files/toml_file.hpp"
#include "schema/files/whole_file.hpp"

namespace thirstline {

namespace {

constexpr int kAttempts = 4;

/// The bytes so far, under a lock that excludes a second fetch.
class PartialFile {
  public:
    static Result<PartialFile> open_at(const std::string& path) {
        PartialFile file;
        file.descriptor_ = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0644);
        if (file.descriptor_ < 0) return fail(system_error("writing " + path));
        const Error taken{ErrorCode::io, "another fetch is downloading to " + path,
                          "wait until it has ended"};
        if (flock(file.descriptor_, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK)
            return fail(taken);
        struct stat opened {};
        if (fstat(file.descriptor_, &opened) != 0)
            return fail(system_error("reading the size of " + path));
        // The other fetch may have finished and renamed it between the opening and the lock.
        struct stat there {};
        if (stat(path.c_str(), &there) != 0 || there.st_ino != opened.st_ino) return fail(taken);
        file.path_ = path;
        file.bytes_ = opened.st_size;
        return file;
    }
    PartialFile() = default;
    ~PartialFile() {
        if (descriptor_ >= 0) close(descriptor_);
    }
    PartialFile(PartialFile&& other) noexcept
        : path_(std::move(other.path_)),
          descriptor_(std::exchange(other.descriptor_, -1)),
          bytes_(other.bytes_) {}
    PartialFile& operator=(PartialFile&&) = delete;
    PartialFile(const PartialFile&) = delete;
    PartialFile& operator=(const PartialFile&) = delete;

    [[nodiscard]] std::int64_t bytes() const { return bytes_; }

    Result<void> clear() {
        if (ftruncate(descriptor_, 0) != 0) return fail(system_error("emptying " + path_));
        bytes_ = 0;
        return {};
    }

    Result<void> append(std::string_view piece) {
        while (!piece.empty()) {
            const ssize_t written = pwrite(descriptor_, piece.data(), piece.size(), bytes_);
            if (written < 0 && errno == EINTR) continue;
            if (written <= 0) return fail(system_error("writing " + path_));
            bytes_ += written;
            piece.remove_prefix(static_cast<std::size_t>(written));
        }
        return {};
    }

  private:
    std::string path_;
    int descriptor_ = -1;
    std::int64_t bytes_ = 0;
};

/// What is kept beside a partial file.
struct Origin {
    std::string url;
    std::string validator;
    std::int64_t total_bytes = -1;
};

/// Empty where there is none, or a damaged one.
Origin read_origin(const std::string& path) {
    if (std::error_code status; !std::filesystem::exists(path, status)) return {};
    const auto document = read_toml_file(path, "origin");
    if (!document) return {};
    return {(*document)["url"].value_or(std::string()),
            (*document)["validator"].value_or(std::string()),
            (*document)["bytes"].value_or(std::int64_t{-1})};
}

Result<void> write_origin(const std::string& path, const Origin& origin) {
    std::ostringstream text;
    text << toml::table{{"url", origin.url},
                        {"validator", origin.validator},
                        {"bytes", origin.total_bytes}}
         << "\n";
    return write_whole_file(path, text.str());
}

std::string sum_text(const LockedFile& file) {
    return std::to_string(file.bytes) + " bytes, SHA-256 " + file.sha256;
}

class Download {
  public:
    Download(HttpClient& client, const DataFile& file, const std::string& folder,
             const LockedFile* locked, std::chrono::seconds retry_delay,
             const DownloadProgress& progress)
        : client_(client),
          file_(file),
          target_(folder + "/" + file.name),
          locked_(locked),
          retry_delay_(retry_delay),
          progress_(progress) {}

    Result<LockedFile> result() {
        auto partial = TRY(PartialFile::open_at(partial_path()));
        Origin origin = read_origin(origin_path());
        const bool may_go_on = origin.url == file_.url && !origin.validator.empty();
        if (!may_go_on) {
            origin = {file_.url, "", -1};
            TRY(partial.clear());
        }
        TRY(receive(partial, origin));
        return finish();
    }

  private:
    std::string partial_path() const { return target_ + ".partial"; }
    std::string origin_path() const { return target_ + ".partial-from"; }

    static bool is_whole(const PartialFile& partial, const Origin& origin) {
        return origin.total_bytes >= 0 && partial.bytes() == origin.total_bytes;
    }

    /// Tries again while it may help: a connection that broke, a server that is busy. An attempt
    /// that adds to what is there counts for none.
    Result<void> receive(PartialFile& partial, Origin& origin) {
        auto pause = retry_delay_;
        int attempts = 0;
        while (!is_whole(partial, origin)) {
            const std::int64_t before = partial.bytes();
            const bool continues = before > 0 && !origin.validator.empty();
            if (!continues && before > 0) TRY(partial.clear());
            in_answer_ = false;
            HttpTransfer transfer = client_.get(file_.url, continues ? before : 0, origin.validator,
                                                [&](const HttpHead& head, std::string_view piece) {
                                                    return take(head, piece, partial, origin);
                                                });
            if (!transfer.failure && !in_answer_) {
                transfer.failure = Error{
                    ErrorCode::io,
                    "downloading " + file_.url + " failed: the server sent an empty file", ""};
            } else if (!transfer.failure) {
                if (is_whole(partial, origin) || origin.total_bytes < 0) return {};
                transfer.failure = Error{ErrorCode::io,
                                         "downloading " + file_.url + " failed: the server sent " +
                                             std::to_string(partial.bytes()) + " of " +
                                             std::to_string(origin.total_bytes) + " bytes",
                                         ""};
                transfer.may_pass = true;
            }
            // The server has no such range: the file is shorter now.
            if (transfer.head.status == 416 && continues) {
                TRY(partial.clear());
                origin = {file_.url, "", -1};
                transfer.may_pass = true;
            }
            ++attempts;
            if (partial.bytes() > before && before > 0) attempts = 1;
            if (!transfer.may_pass || attempts >= kAttempts)
                return fail(placed(*transfer.failure, attempts));
            client_.wait(pause);
            pause *= 2;
        }
        return {};
    }

    /// The first piece of an answer decides whether it continues what is there.
    Result<void> take(const HttpHead& head, std::string_view piece, PartialFile& partial,
                      Origin& origin) {
        if (!in_answer_) {
            in_answer_ = true;
            const bool continues = head.is_part && head.first_byte == partial.bytes() &&
                                   (head.validator.empty() || head.validator == origin.validator);
            if (!continues) {
                if (head.is_part && head.first_byte != 0) {
                    return fail(ErrorCode::io, file_.where + ": " + file_.url +
                                                   ": the server sent another part of the file "
                                                   "than was asked for");
                }
                TRY(partial.clear());
                origin = {file_.url, head.validator, head.total_bytes};
                TRY(write_origin(origin_path(), origin));
            }
        }
        TRY(partial.append(piece));
        progress_(partial.bytes(), origin.total_bytes);
        return {};
    }

    Error placed(Error error, int attempts) const {
        if (error.code == ErrorCode::interrupted || error.message.starts_with(file_.where))
            return error;
        error.message = file_.where + ": " + error.message;
        if (attempts > 1) error.message += " (" + std::to_string(attempts) + " attempts)";
        if (error.hint.empty())
            error.hint = "what has arrived is kept, and the next fetch goes on from there";
        return error;
    }

    Result<LockedFile> finish() {
        auto arrived = TRY(measured_file(partial_path(), file_.name, file_.url));
        const bool is_changed = locked_ != nullptr && (locked_->sha256 != arrived.sha256 ||
                                                       locked_->bytes != arrived.bytes);
        if (is_changed) {
            unlink(partial_path().c_str());
            unlink(origin_path().c_str());
            return fail(ErrorCode::bad_input,
                        file_.where + ": the provider has changed " + file_.name + ": it now has " +
                            sum_text(arrived) + "; the lock file has " + sum_text(*locked_),
                        "delete its entry from the lock file to use the new file");
        }
        TRY(put_in_place(partial_path(), target_));
        unlink(origin_path().c_str());
        return arrived;
    }

    HttpClient& client_;
    const DataFile& file_;
    std::string target_;
    const LockedFile* locked_;
    std::chrono::seconds retry_delay_;
    const DownloadProgress& progress_;
    bool in_answer_ = false;  ///< a piece of the present answer has been taken
};

}  // namespace

Result<LockedFile> download(HttpClient& client, const DataFile& file, const std::string& folder,
                            const LockedFile* locked, std::chrono::seconds retry_delay,
                            const DownloadProgress& progress) {
    return Download(client, file, folder, locked, retry_delay, progress).result();
}

}  // namespace thirstline
