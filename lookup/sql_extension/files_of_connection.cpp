#include "lookup/sql_extension/files_of_connection.hpp"

#include <utility>

namespace thirstline {

Result<std::shared_ptr<OpenFile>> FilesOfConnection::file(const SqlValue& path) {
    const auto* name = std::get_if<std::string>(&path);
    if (name == nullptr || name->empty() || name->find('\0') != std::string::npos) {
        return fail(ErrorCode::usage,
                    "the file must be the path of a Thirstline database, as text");
    }
    const auto known = files_.find(*name);
    if (known != files_.end()) return known->second;
    auto database = TRY(Database::open(*name));
    return files_[*name] = std::make_shared<OpenFile>(std::move(database));
}

Result<void> FilesOfConnection::check_unchanged(OpenFile& file) {
    auto unchanged = file.database().check_unchanged();
    if (!unchanged)
        std::erase_if(files_, [&file](const auto& known) { return known.second.get() == &file; });
    return unchanged;
}

}  // namespace thirstline
