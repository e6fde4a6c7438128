#include "builder/fetch/fetch_lock.hpp"

#include <algorithm>
#include <filesystem>
#include <sstream>

#include "schema/base/sha256.hpp"
#include "schema/base/words.hpp"
#include "schema/files/toml_file.hpp"
#include "schema/files/whole_file.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kSha256Digits = 64;

bool is_sha256(const std::string& text) {
    return text.size() == kSha256Digits &&
           text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

Result<LockedFile> locked_file(const toml::node& node, const std::string& path) {
    const toml::table* table = node.as_table();
    LockedFile file;
    if (table != nullptr) {
        file = {(*table)["name"].value_or(std::string()), (*table)["url"].value_or(std::string()),
                (*table)["bytes"].value_or(std::int64_t{-1}),
                (*table)["sha256"].value_or(std::string())};
    }
    if (!file.name.empty() && file.bytes >= 0 && is_sha256(file.sha256)) return file;
    return fail(ErrorCode::bad_input,
                path + ":" + std::to_string(node.source().begin.line) +
                    ": an entry of the lock file needs a name, bytes and a sha256 of 64 "
                    "hexadecimal digits",
                "delete the entry, and fetch makes it again");
}

}  // namespace

const LockedFile* FetchLock::find(std::string_view name) const {
    const auto found = std::find_if(files.begin(), files.end(),
                                    [name](const LockedFile& file) { return file.name == name; });
    return found == files.end() ? nullptr : &*found;
}

void FetchLock::set(const LockedFile& file) {
    for (LockedFile& known : files) {
        if (known.name != file.name) continue;
        known = file;
        return;
    }
    files.push_back(file);
}

std::string lock_path(const std::string& recipe_path) {
    return std::filesystem::path(recipe_path).replace_extension(".lock").string();
}

Result<FetchLock> read_fetch_lock(const std::string& path) {
    FetchLock lock;
    if (std::error_code status; !std::filesystem::exists(path, status) && !status) return lock;
    auto document = TRY(read_toml_file(path, "lock file"));
    const toml::node* entries = document.get("file");
    if (entries == nullptr) return lock;
    const toml::array* array = entries->as_array();
    if (array == nullptr)
        return fail(ErrorCode::bad_input, path + ": its files must be written as [[file]]");
    for (const toml::node& entry : *array) {
        const auto file = TRY(locked_file(entry, path));
        lock.set(file);
    }
    return lock;
}

Result<void> write_fetch_lock(const std::string& path, const FetchLock& lock) {
    std::vector<LockedFile> files = lock.files;
    std::sort(files.begin(), files.end(),
              [](const LockedFile& a, const LockedFile& b) { return a.name < b.name; });
    toml::array array;
    for (const LockedFile& file : files) {
        toml::table table;
        table.insert("name", file.name);
        if (!file.url.empty()) table.insert("url", file.url);
        table.insert("bytes", file.bytes);
        table.insert("sha256", file.sha256);
        array.push_back(std::move(table));
    }
    toml::table document;
    document.insert("file", std::move(array));
    std::ostringstream text;
    text << "# Written by thirstline-builder fetch: the downloads of the recipe beside it, by "
            "which\n"
            "# build --offline checks them. Keep it with the recipe.\n"
         << document << "\n";
    return write_whole_file(path, text.str());
}

Result<LockedFile> measured_file(const std::string& path, const std::string& name,
                                 const std::string& url) {
    LockedFile file{name, url, 0, ""};
    Sha256 sum;
    TRY(for_each_piece(path, path, [&](std::string_view piece) -> Result<void> {
        sum.add(piece);
        file.bytes += static_cast<std::int64_t>(piece.size());
        return {};
    }));
    file.sha256 = sum.hex_digest();
    return file;
}

}  // namespace thirstline
