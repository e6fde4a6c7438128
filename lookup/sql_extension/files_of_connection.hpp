// The Thirstline files that the queries of one SQL connection have named: each is opened once.
//
// A file that was replaced by another of the same name is still read as it was opened. One that was
// overwritten or truncated gives an error, and is opened again by the next query.
//
// Thread safety: belongs to one connection, and so to one thread at a time.
#pragma once

#include <map>
#include <memory>
#include <string>

#include "lookup/library/open_file.hpp"
#include "lookup/sql_extension/sql_function.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

class FilesOfConnection {
  public:
    /// The file named by an argument. Errors: usage if it is not a path; those of Database::open.
    [[nodiscard]] Result<std::shared_ptr<OpenFile>> file(const SqlValue& path);

    /// Errors (io): the file has changed since it was opened.
    [[nodiscard]] Result<void> check_unchanged(OpenFile& file);

  private:
    std::map<std::string, std::shared_ptr<OpenFile>> files_;
};

}  // namespace thirstline
