#include "builder/inputs/archive_files.hpp"

#include <archive.h>
#include <archive_entry.h>
#include <cpl_vsi.h>

#include <array>
#include <cstdio>
#include <utility>
#include <vector>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/pipe_check.hpp"
#include "builder/inputs/vsi_bytes.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kBlockBytes = std::size_t{1} << 18;
// Names in a message about an archive with several files.
constexpr std::size_t kMaxNamesListed = 4;

struct CloseFile {
    void operator()(VSILFILE* file) const { VSIFCloseL(file); }
};
struct FreeArchive {
    void operator()(archive* reading) const { archive_read_free(reading); }
};

/// What libarchive reads from: any of GDAL's file systems.
struct PackedFile {
    std::unique_ptr<VSILFILE, CloseFile> file;
    std::vector<char> block = std::vector<char>(kBlockBytes);
};

la_ssize_t read_block(archive*, void* opened, const void** block) {
    auto& from = *static_cast<PackedFile*>(opened);
    *block = from.block.data();
    return static_cast<la_ssize_t>(
        VSIFReadL(from.block.data(), 1, from.block.size(), from.file.get()));
}

la_int64_t seek(archive*, void* opened, la_int64_t offset, int origin) {
    auto& in = *static_cast<PackedFile*>(opened);
    // GDAL's offsets have no sign.
    la_int64_t begin = 0;
    if (origin == SEEK_CUR) begin = static_cast<la_int64_t>(VSIFTellL(in.file.get()));
    if (origin == SEEK_END) {
        if (VSIFSeekL(in.file.get(), 0, SEEK_END) != 0) return ARCHIVE_FATAL;
        begin = static_cast<la_int64_t>(VSIFTellL(in.file.get()));
    }
    const la_int64_t to = begin + offset;
    if (to < 0 || VSIFSeekL(in.file.get(), static_cast<vsi_l_offset>(to), SEEK_SET) != 0)
        return ARCHIVE_FATAL;
    return to;
}

bool is_archive_name(std::string_view name) {
    constexpr std::array<std::string_view, 7> kSuffixes{".zip",     ".tar",    ".tar.gz", ".tgz",
                                                        ".tar.bz2", ".tar.xz", ".txz"};
    const std::string lower = ascii_lower(name);
    for (const std::string_view suffix : kSuffixes)
        if (lower.size() > suffix.size() && lower.ends_with(suffix)) return true;
    return false;
}

bool is_hidden(std::string_view name) {
    return name.starts_with('.') || name.find("/.") != std::string_view::npos;
}

}  // namespace

std::optional<ArchivePath> archive_path(const std::string& path) {
    std::string_view rest = path;
    for (const std::string_view system : {"/vsizip/", "/vsitar/"}) {
        if (!rest.starts_with(system)) continue;
        rest.remove_prefix(system.size());
        if (rest.starts_with('{')) return std::nullopt;
        break;
    }
    for (std::size_t end = 0; end < rest.size(); ++end) {
        end = std::min(rest.find('/', end), rest.size());
        const std::string_view archive = rest.substr(0, end);
        if (!is_archive_name(archive.substr(archive.rfind('/') + 1))) continue;
        // A folder may have such a name; asking a remote file system costs a request.
        if (archive.find_first_of("*?", archive.rfind('/') + 1) != std::string_view::npos ||
            (!archive.starts_with("/vsi") && is_folder(std::string(archive))))
            continue;
        const std::string_view inside = end == rest.size() ? "" : rest.substr(end + 1);
        return ArchivePath{std::string(archive), std::string(inside)};
    }
    return std::nullopt;
}

bool fits_pattern(std::string_view name, std::string_view pattern) {
    std::size_t n = 0;
    std::size_t p = 0;
    std::size_t star = std::string_view::npos;
    std::size_t after_star = 0;
    while (n < name.size()) {
        if (p < pattern.size() && (pattern[p] == '?' || pattern[p] == name[n])) {
            ++n;
            ++p;
        } else if (p < pattern.size() && pattern[p] == '*') {
            star = p++;
            after_star = n;
        } else if (star != std::string_view::npos) {
            p = star + 1;
            n = ++after_star;  // the last star matches one more character
        } else {
            return false;
        }
    }
    return pattern.find_first_not_of('*', p) == std::string_view::npos;
}

struct ArchiveReader::State {
    ArchivePath path;
    std::string where;
    PackedFile opened;
    std::unique_ptr<archive, FreeArchive> reading;
    std::int64_t files = 0;

    [[nodiscard]] Error damaged() const {
        return {ErrorCode::bad_input,
                where + ": " + path.archive + " is damaged and cannot be read to its end", ""};
    }

    [[nodiscard]] bool fits(std::string_view name) const {
        const bool has_folders = path.inside.find('/') != std::string::npos;
        const std::string_view compared = has_folders ? name : name.substr(name.rfind('/') + 1);
        return path.inside.empty() || fits_pattern(compared, path.inside);
    }
};

ArchiveReader::ArchiveReader(std::unique_ptr<State> state) : state_(std::move(state)) {}
ArchiveReader::ArchiveReader(ArchiveReader&&) noexcept = default;
ArchiveReader& ArchiveReader::operator=(ArchiveReader&&) noexcept = default;
ArchiveReader::~ArchiveReader() = default;

Result<ArchiveReader> ArchiveReader::open(ArchivePath path, std::string where) {
    TRY(refuse_pipe(path.archive, where + ": "));
    const GdalMessages quiet;
    auto state = std::make_unique<State>();
    state->path = std::move(path);
    state->where = std::move(where);
    state->opened.file.reset(VSIFOpenL(state->path.archive.c_str(), "rb"));
    if (!state->opened.file) {
        return fail(ErrorCode::io, state->where + ": cannot open " + state->path.archive +
                                       ": there is no such file");
    }
    state->reading.reset(archive_read_new());
    archive* reading = state->reading.get();
    // Not the filters that run other programs.
    for (const auto support : {archive_read_support_filter_gzip, archive_read_support_filter_bzip2,
                               archive_read_support_filter_xz, archive_read_support_format_tar,
                               archive_read_support_format_zip})
        support(reading);
    archive_read_set_read_callback(reading, read_block);
    archive_read_set_seek_callback(reading, seek);
    archive_read_set_callback_data(reading, &state->opened);
    if (archive_read_open1(reading) != ARCHIVE_OK) {
        return fail(ErrorCode::bad_input,
                    state->where + ": " + state->path.archive + " is not a zip or tar archive");
    }
    return ArchiveReader(std::move(state));
}

Result<std::optional<std::string>> ArchiveReader::next() {
    const GdalMessages quiet;
    while (true) {
        archive_entry* entry = nullptr;
        const int status = archive_read_next_header(state_->reading.get(), &entry);
        if (status == ARCHIVE_EOF) return std::optional<std::string>{};
        if (status != ARCHIVE_OK && status != ARCHIVE_WARN) return fail(state_->damaged());
        if (archive_entry_filetype(entry) != AE_IFREG) continue;
        ++state_->files;
        const char* written = archive_entry_pathname_utf8(entry);
        if (written == nullptr) written = archive_entry_pathname(entry);
        std::string name = written != nullptr ? written : "file " + std::to_string(state_->files);
        while (name.starts_with("./")) name.erase(0, 2);
        if (!is_hidden(name) && state_->fits(name)) return std::optional(std::move(name));
    }
}

Result<std::size_t> ArchiveReader::read(char* buffer, std::size_t capacity) {
    const GdalMessages quiet;
    const la_ssize_t count = archive_read_data(state_->reading.get(), buffer, capacity);
    if (count < 0) return fail(state_->damaged());
    return static_cast<std::size_t>(count);
}

ByteSource ArchiveReader::bytes() {
    return [this](char* buffer, std::size_t capacity) { return read(buffer, capacity); };
}

Result<ByteSource> bytes_of_one_file(const ArchivePath& path, const std::string& where) {
    ArchiveReader names = TRY(ArchiveReader::open(path, where));
    std::vector<std::string> found;
    while (true) {
        auto name = TRY(names.next());
        if (!name) break;
        found.push_back(std::move(*name));
    }
    const std::string archive_name = path.archive.substr(path.archive.rfind('/') + 1);
    if (found.empty()) {
        return fail(ErrorCode::io, where + ": no file in " + archive_name +
                                       (path.inside.empty() ? "" : " is called " + path.inside));
    }
    if (found.size() > 1) {
        const std::size_t listed = std::min(found.size(), kMaxNamesListed);
        const std::string more = found.size() > listed ? ", …" : "";
        const std::string example = archive_name + "/" + found.front();
        found.resize(listed, "");
        return fail(ErrorCode::bad_input,
                    where + ": " + archive_name + " has several files (" + joined(found) + more +
                        "); it must have one table",
                    "name it in the path, such as \"" + example + "\"");
    }
    auto reader = std::make_shared<ArchiveReader>(TRY(ArchiveReader::open(path, where)));
    TRY(reader->next());
    return ByteSource(
        [reader](char* buffer, std::size_t capacity) { return reader->read(buffer, capacity); });
}

}  // namespace thirstline
