#include "schema/database/opened_file.hpp"

#include <algorithm>
#include <utility>

namespace thirstline {

Result<std::shared_ptr<OpenedFile>> OpenedFile::open(const std::string& path, FileAccess access) {
    std::shared_ptr<OpenedFile> file(new OpenedFile(path));
    auto regular = TRY(RegularFile::open(path, "database"));
    TRY(file->begin(std::move(regular), 0, 0));
    // A file that cannot be mapped is read.
    if (access == FileAccess::mapped) file->map_ = file->file_->map(file->bytes_);
    return file;
}

Result<std::shared_ptr<OpenedFile>> OpenedFile::of_descriptor(int descriptor, std::int64_t offset,
                                                              std::int64_t bytes) {
    std::shared_ptr<OpenedFile> file(
        new OpenedFile("the file of descriptor " + std::to_string(descriptor)));
    auto regular = TRY(RegularFile::of_descriptor(descriptor, file->path_, "database"));
    TRY(file->begin(std::move(regular), offset, bytes));
    return file;
}

Result<std::shared_ptr<OpenedFile>> OpenedFile::in_memory(std::span<const std::uint8_t> bytes) {
    std::shared_ptr<OpenedFile> file(new OpenedFile("the file in memory"));
    file->map_ = bytes.data();
    file->bytes_ = static_cast<std::int64_t>(bytes.size());
    TRY(file->read_header());
    return file;
}

Result<void> OpenedFile::begin(RegularFile file, std::int64_t offset, std::int64_t bytes) {
    const auto stamp = file.stamp();
    if (!stamp) return fail(ErrorCode::io, "cannot read the database " + path_);
    if (offset < 0 || offset > stamp->bytes || bytes < 0 || bytes > stamp->bytes - offset) {
        return fail(ErrorCode::usage, path_ + " has " + std::to_string(stamp->bytes) +
                                          " bytes, and not " + std::to_string(bytes) +
                                          " from offset " + std::to_string(offset) + " on");
    }
    file_ = std::move(file);
    stamp_ = *stamp;
    start_ = offset;
    bytes_ = bytes == 0 ? stamp->bytes - offset : bytes;
    return read_header();
}

Result<void> OpenedFile::read_header() {
    const std::int64_t got = read_now(0, header_);
    if (got < 0) return fail(ErrorCode::io, "cannot read the database " + path_);
    if (got < static_cast<std::int64_t>(header_.size()))
        return fail(ErrorCode::bad_database, path_ + " is not a Thirstline database");
    return {};
}

bool OpenedFile::is_as_opened() const {
    return !file_ || file_->stamp() == stamp_;
}

std::int64_t OpenedFile::read_now(std::int64_t offset, std::span<std::uint8_t> to) const {
    if (offset < 0 || offset >= bytes_) return 0;
    const auto there = static_cast<std::size_t>(bytes_ - offset);
    const auto within = to.first(std::min(to.size(), there));
    if (file_) return file_->read_at(start_ + offset, within);
    std::copy_n(map_ + offset, within.size(), within.begin());
    return static_cast<std::int64_t>(within.size());
}

std::int64_t OpenedFile::read(std::int64_t offset, std::span<std::uint8_t> to) {
    const std::int64_t got = read_now(offset, to);
    // Checked after reading: a writer sets the time before it writes.
    if (got < 0 || !is_as_opened()) {
        was_changed_ = was_changed_ || got >= 0;
        return -1;
    }
    return got;
}

const std::uint8_t* OpenedFile::mapped(std::int64_t offset, std::int64_t count) const {
    if (map_ == nullptr || offset < 0 || count < 0 || offset > bytes_ - count) return nullptr;
    return map_ + offset;
}

Result<void> OpenedFile::check_unchanged() {
    SqliteHeader now{};
    const bool same_header =
        read_now(0, now) == static_cast<std::int64_t>(now.size()) && now == header_;
    if (!same_header || !is_as_opened()) was_changed_ = true;
    if (was_changed_) return fail(changed_error());
    return {};
}

Error OpenedFile::changed_error() const {
    return {ErrorCode::io, path_ + " was changed while it was open",
            "open it again; a new version is to be put in place by renaming a finished file"};
}

bool OpenedFile::was_replaced() const {
    const auto now = file_stamp(path_);
    if (!now) return false;
    return now->device != stamp_.device || now->number != stamp_.number || !is_as_opened();
}

}  // namespace thirstline
