#include "builder/publish/site_folder.hpp"

#include <fcntl.h>
#include <sys/stat.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <set>
#include <span>
#include <vector>

#include "schema/base/sha256.hpp"
#include "schema/files/file_replacement.hpp"
#include "schema/files/whole_file.hpp"

namespace thirstline {

namespace {

namespace fs = std::filesystem;

constexpr const char* kMark = "SHA256SUMS";
constexpr std::string_view kMarkBegins = "# A site published by thirstline-builder";
constexpr const char* kNew = "site";
constexpr std::size_t kHashDigitsInNames = 16;

std::string without_last_slashes(std::string path) {
    while (path.size() > 1 && path.back() == '/') path.pop_back();
    return path;
}

/// The names listed in a mark; nothing if it was not written by publish.
Result<std::set<std::string>> names_of_mark(const std::string& folder) {
    std::ifstream mark(folder + "/" + kMark, std::ios::binary);
    std::string line;
    if (!mark || !std::getline(mark, line) || !line.starts_with(kMarkBegins)) {
        return fail(ErrorCode::usage, folder + " was not written by publish, so it stays as it is",
                    "choose another folder, or remove that one yourself");
    }
    std::set<std::string> names{kMark, kMark + std::string(kSignatureSuffix)};
    constexpr std::size_t kBeforeName = 66;  // 64 digits and two blanks
    while (std::getline(mark, line)) {
        if (line.size() > kBeforeName && line.front() != '#')
            names.insert(line.substr(kBeforeName));
    }
    return names;
}

Result<void> refuse_foreign_files(const std::string& folder) {
    const auto names = TRY(names_of_mark(folder));
    std::error_code failed;
    for (fs::recursive_directory_iterator entry(folder, failed), end; !failed && entry != end;
         entry.increment(failed)) {
        if (entry->is_directory() && !entry->is_symlink()) continue;
        const std::string name = fs::path(entry->path()).lexically_relative(folder).string();
        if (names.contains(name)) continue;
        return fail(ErrorCode::usage,
                    folder + " holds " + name + ", which publish did not write and would remove",
                    "move it away, or choose another folder");
    }
    if (failed) return fail(ErrorCode::io, "reading " + folder + " failed: " + failed.message());
    return {};
}

Result<PublishedFile> hashed_file(const std::string& path, const std::string& name) {
    Sha256 hash;
    PublishedFile published{name, 0, ""};
    TRY(for_each_piece(path, path, [&](std::string_view bytes) -> Result<void> {
        hash.add(bytes);
        published.bytes += static_cast<std::int64_t>(bytes.size());
        return {};
    }));
    published.sha256 = hash.hex_digest();
    return published;
}

}  // namespace

Result<void> refuse_folder(const std::string& target, bool overwrite) {
    std::error_code ignored;
    const std::string folder = without_last_slashes(target);
    if (folder.empty()) return fail(ErrorCode::usage, "--output needs the name of a folder");
    if (!fs::exists(fs::symlink_status(folder, ignored))) return {};
    if (!fs::is_directory(folder, ignored)) {
        return fail(ErrorCode::usage, folder + " is not a folder of a published site");
    }
    if (!overwrite) {
        return fail(ErrorCode::usage, folder + " already exists",
                    "use --overwrite to replace what publish wrote there");
    }
    return refuse_foreign_files(folder);
}

Result<SiteFolder> SiteFolder::beside(const std::string& target, bool overwrite) {
    std::error_code ignored;
    TRY(refuse_folder(target, overwrite));
    // The target of a link is replaced, not the link.
    std::string folder = without_last_slashes(target);
    if (fs::is_symlink(folder, ignored)) folder = fs::canonical(folder, ignored).string();
    auto staged = TRY(StagedFiles::beside(folder));
    SiteFolder site(std::move(staged), folder, overwrite);
    for (const char* name : {kNew, "site/data", "site/downloads"}) {
        if (mkdir(site.staged_.path(name).c_str(), 0777) != 0)
            return fail(system_error("writing " + folder));
    }
    return site;
}

std::string SiteFolder::path(const std::string& name) const {
    return staged_.path(kNew) + "/" + name;
}

Result<PublishedFile> SiteFolder::add(const std::string& name, std::string_view bytes) {
    auto file = TRY(TextFile::create(path(name), target_ + "/" + name));
    TRY(file.write(bytes));
    TRY(file.finish());
    TRY(synced(path(name)));
    Sha256 hash;
    hash.add(bytes);
    PublishedFile published{name, static_cast<std::int64_t>(bytes.size()), hash.hex_digest()};
    files_[name] = published;
    return published;
}

Result<PublishedFile> SiteFolder::add_by_hash(const std::string& stem, const std::string& ending,
                                              std::string_view bytes) {
    Sha256 hash;
    hash.add(bytes);
    return add(stem + "-" + hash.hex_digest().substr(0, kHashDigitsInNames) + ending, bytes);
}

Result<PublishedFile> SiteFolder::take(const std::string& name) {
    auto published = hashed_file(path(name), name);
    if (!published) return published;
    TRY(synced(path(name)));
    files_[name] = *published;
    return published;
}

Result<void> SiteFolder::place(const std::optional<SecretKey>& signing_key) {
    std::string sums =
        std::string(kMarkBegins) +
        ".\n# To check it: sha256sum -c SHA256SUMS. By this file publish knows its own folders.\n";
    for (const auto& [name, file] : files_) sums += file.sha256 + "  " + name + "\n";
    TRY(add(kMark, sums));
    if (signing_key) TRY(write_signature(path(kMark), *signing_key));
    for (const char* name : {"data", "downloads", "."}) {
        TRY(synced(path(name)));
    }
    TRY(refuse_folder(target_, overwrite_));
    TRY(swap_with_target());
    const std::string around = fs::path(target_).parent_path().string();
    return synced(around.empty() ? "." : around);
}

Result<void> SiteFolder::swap_with_target() const {
    const std::string fresh = staged_.path(kNew);
    const auto failed = [this] { return system_error("putting " + target_ + " in its place"); };
    std::error_code ignored;
    if (!fs::exists(target_, ignored)) {
        if (std::rename(fresh.c_str(), target_.c_str()) != 0) return fail(failed());
        return {};
    }
#ifdef RENAME_EXCHANGE
    // Exchanges both in one step; the old one is then removed with the temporary folder.
    if (renameat2(AT_FDCWD, fresh.c_str(), AT_FDCWD, target_.c_str(), RENAME_EXCHANGE) == 0)
        return {};
    if (errno != EINVAL && errno != ENOSYS) return fail(failed());
#endif
    // If the file system cannot exchange them, there is a moment without a folder.
    const std::string old = staged_.path("old");
    if (std::rename(target_.c_str(), old.c_str()) != 0) return fail(failed());
    if (std::rename(fresh.c_str(), target_.c_str()) == 0) return {};
    const Error error = failed();
    std::rename(old.c_str(), target_.c_str());
    return fail(error);
}

}  // namespace thirstline
