#include "schema/database/opened_file.hpp"

#include <utility>

namespace thirstline {

OpenedFile::OpenedFile(std::string path, RegularFile file, const FileStamp& state)
    : path_(std::move(path)), file_(std::move(file)), stamp_(state), bytes_(state.bytes) {}

Result<std::shared_ptr<OpenedFile>> OpenedFile::open(const std::string& path, FileAccess access) {
    RegularFile regular = TRY(RegularFile::open(path, "database"));
    const auto state = regular.stamp();
    if (!state) return fail(ErrorCode::io, "cannot read the database " + path);
    std::shared_ptr<OpenedFile> file(new OpenedFile(path, std::move(regular), *state));
    const std::int64_t got = file->file_.read_at(0, file->header_);
    if (got < 0) return fail(ErrorCode::io, "cannot read the database " + path);
    if (got < static_cast<std::int64_t>(file->header_.size()))
        return fail(ErrorCode::bad_database, path + " is not a Thirstline database");
    // A file that cannot be mapped is read.
    if (access == FileAccess::mapped) file->map_ = file->file_.map(file->bytes_);
    return file;
}

bool OpenedFile::is_as_opened() const {
    return file_.stamp() == stamp_;
}

std::int64_t OpenedFile::read(std::int64_t offset, std::span<std::uint8_t> to) {
    const std::int64_t got = file_.read_at(offset, to);
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
        file_.read_at(0, now) == static_cast<std::int64_t>(now.size()) && now == header_;
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
