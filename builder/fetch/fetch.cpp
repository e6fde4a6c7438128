#include "builder/fetch/fetch.hpp"

#include <algorithm>
#include <chrono>
#include <filesystem>

#include "builder/fetch/download.hpp"
#include "schema/base/words.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

std::string path_of(const Recipe& recipe, const DataFile& file) {
    return recipe.data_folder + "/" + file.name;
}

bool is_in_folder(const Recipe& recipe, const DataFile& file) {
    std::error_code status;
    return std::filesystem::exists(path_of(recipe, file), status);
}

/// The file as it is now. Errors: bad_input if it is not the locked one.
Result<LockedFile> as_locked(const Recipe& recipe, const DataFile& file, const LockedFile* locked) {
    const std::string path = path_of(recipe, file);
    auto measured = TRY(measured_file(path, file.name, file.url));
    if (locked != nullptr &&
        (locked->sha256 != measured.sha256 || locked->bytes != measured.bytes)) {
        return fail(ErrorCode::bad_input,
                    file.where + ": " + path + " is not the file that was downloaded: it has " +
                        std::to_string(measured.bytes) + " bytes, SHA-256 " + measured.sha256 +
                        "; the lock file has " + std::to_string(locked->bytes) +
                        " bytes, SHA-256 " + locked->sha256,
                    "move it away and fetch again, or delete its entry from " +
                        lock_path(recipe.path) + " to use it as it is");
    }
    return measured;
}

bool is_gone(const HttpTransfer& transfer) {
    return transfer.head.status == 404 || transfer.head.status == 410;
}

/// The size that the server states, or -1. Some servers refuse to be asked for the head alone, so
/// only two answers that a file is not there make an error.
Result<std::int64_t> stated_bytes_of(HttpClient& client, const DataFile& file) {
    const HttpTransfer asked = client.head(file.url);
    if (asked.failure && asked.failure->code == ErrorCode::interrupted) return fail(*asked.failure);
    if (!asked.failure) return asked.head.total_bytes;
    if (!is_gone(asked)) return -1;
    const Error enough{ErrorCode::internal, "enough", ""};
    const HttpTransfer got =
        client.get(file.url, 0, "",
                   [&](const HttpHead&, std::string_view) -> Result<void> { return fail(enough); });
    if (!is_gone(got)) return got.head.total_bytes;
    return fail(ErrorCode::io,
                file.where + ": " + file.url + " is not there (the server answers " +
                    std::to_string(got.head.status) + ")",
                "look at the provider's page for its present address; nothing was downloaded");
}

Result<void> refuse_full_disk(const Recipe& recipe, const FetchPlan& plan) {
    std::error_code status;
    const auto space = std::filesystem::space(recipe.data_folder, status);
    const std::int64_t needed = plan.stated_bytes();
    if (status || needed <= 0 || static_cast<std::uintmax_t>(needed) <= space.available) return {};
    return fail(ErrorCode::io,
                "the downloads have " + std::to_string(needed) + " bytes, and " +
                    recipe.data_folder + " has room for " + std::to_string(space.available),
                "make room, or name another folder with --into");
}

Result<void> refuse_files_by_hand(const Recipe& recipe, const FetchPlan& plan) {
    std::vector<std::string> missing;
    for (const PlannedFile& planned : plan.files)
        if (planned.state == FileState::by_hand)
            missing.push_back(planned.file.name + " (" + planned.file.where + ")");
    if (missing.empty()) return {};
    return fail(ErrorCode::io,
                "no address is known for " + joined_with_and(missing) + "; put " +
                    (missing.size() == 1 ? "it" : "them") + " into " + recipe.data_folder +
                    " by hand",
                "the recipe's comments say where to find them; all else is downloaded");
}

}  // namespace

std::int64_t FetchPlan::files_in(FileState state) const {
    return std::count_if(files.begin(), files.end(),
                         [state](const PlannedFile& file) { return file.state == state; });
}

std::int64_t FetchPlan::stated_bytes() const {
    std::int64_t bytes = 0;
    for (const PlannedFile& file : files)
        if (file.state == FileState::download && file.bytes > 0) bytes += file.bytes;
    return bytes;
}

std::int64_t FetchPlan::downloads_of_unknown_size() const {
    return std::count_if(files.begin(), files.end(), [](const PlannedFile& file) {
        return file.state == FileState::download && file.bytes < 0;
    });
}

Result<FetchPlan> fetch_plan(const Recipe& recipe, const FetchOptions& options,
                             Progress& progress) {
    const auto files = TRY(data_files(recipe));
    const auto locked = TRY(read_fetch_lock(lock_path(recipe.path)));
    HttpClient client(options.silent_seconds, options.interrupted);
    FetchPlan plan;
    std::int64_t done = 0;
    for (const DataFile& file : files) {
        progress.at("check files", done++, static_cast<std::int64_t>(files.size()));
        if (options.interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
        const LockedFile* entry = locked.find(file.name);
        const bool has_other_address =
            entry != nullptr && !entry->url.empty() && !file.url.empty() && entry->url != file.url;
        PlannedFile planned{file, FileState::download, -1};
        if (is_in_folder(recipe, file)) {
            if (has_other_address) {
                return fail(ErrorCode::bad_input,
                            file.where + ": " + path_of(recipe, file) + " was downloaded from " +
                                entry->url + ", which is not the recipe's address",
                            "move it away and fetch again");
            }
            planned.state = entry != nullptr ? FileState::locked : FileState::found;
            auto measured = TRY(as_locked(recipe, file, entry));
            if (entry != nullptr) measured.url = entry->url;
            if (entry == nullptr) measured.url = "";
            planned.bytes = measured.bytes;
            plan.lock.set(measured);
        } else {
            if (entry != nullptr && !has_other_address) plan.lock.set(*entry);
            if (file.url.empty()) {
                planned.state = FileState::by_hand;
            } else {
                planned.bytes = TRY(stated_bytes_of(client, file));
            }
        }
        plan.files.push_back(std::move(planned));
    }
    progress.at("check files", done, done);
    return plan;
}

Result<void> fetch(const Recipe& recipe, FetchPlan plan, const FetchOptions& options,
                   Progress& progress) {
    std::error_code status;
    std::filesystem::create_directories(recipe.data_folder, status);
    if (status)
        return fail(ErrorCode::io,
                    "making the folder " + recipe.data_folder + " failed: " + status.message());
    TRY(refuse_full_disk(recipe, plan));
    const std::string lock_file = lock_path(recipe.path);
    if (plan.files_in(FileState::found) > 0) TRY(write_fetch_lock(lock_file, plan.lock));
    HttpClient client(options.silent_seconds, options.interrupted);
    const std::int64_t downloads = plan.files_in(FileState::download);
    std::int64_t number = 0;
    for (const PlannedFile& planned : plan.files) {
        if (planned.state != FileState::download) continue;
        const std::string stage = "download " + std::to_string(++number) + " of " +
                                  std::to_string(downloads) + ", " + planned.file.name;
        const LockedFile* entry = plan.lock.find(planned.file.name);
        const auto file =
            TRY(download(client, planned.file, recipe.data_folder, entry,
                         std::chrono::seconds(options.retry_delay_s),
                         [&](std::int64_t done, std::int64_t total) {
                             progress.at(stage, done, std::max(total, std::int64_t{0}));
                         }));
        plan.lock.set(file);
        TRY(write_fetch_lock(lock_file, plan.lock));
    }
    return refuse_files_by_hand(recipe, plan);
}

Result<void> refuse_missing_files(const Recipe& recipe) {
    const auto files = TRY(data_files(recipe));
    for (const DataFile& file : files) {
        if (is_in_folder(recipe, file)) continue;
        return fail(ErrorCode::io,
                    file.where + ": there is no file " + path_of(recipe, file) +
                        (file.url.empty() ? ", and no address to download it from" : ""),
                    file.url.empty() ? "put it there by hand"
                                     : "thirstline-builder fetch " + recipe.path + " downloads it");
    }
    return {};
}

Result<void> refuse_unlocked_files(const Recipe& recipe, Progress& progress) {
    if (const auto where = network_paths(recipe); !where.empty()) {
        return fail(ErrorCode::bad_input,
                    where.front() + ": the path is in the network, which --offline forbids",
                    "download the file, and name it by its path on this machine");
    }
    const auto files = TRY(data_files(recipe));
    const auto locked = TRY(read_fetch_lock(lock_path(recipe.path)));
    std::int64_t done = 0;
    for (const DataFile& file : files) {
        progress.at("check files", done++, static_cast<std::int64_t>(files.size()));
        const LockedFile* entry = locked.find(file.name);
        if (entry == nullptr) {
            return fail(ErrorCode::bad_input,
                        file.where + ": " + lock_path(recipe.path) + " has no entry for " +
                            file.name + ", which --offline requires",
                        "thirstline-builder fetch " + recipe.path + " makes it");
        }
        TRY(as_locked(recipe, file, entry));
    }
    if (!files.empty()) progress.at("check files", done, done);
    return {};
}

}  // namespace thirstline
