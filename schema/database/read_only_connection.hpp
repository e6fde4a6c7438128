// SQLite's connection to an OpenedFile. It reads exactly that file, never another of the same name,
// writes nothing, and stops a statement that takes more work than the file can need: a look-up ends
// whatever a file contains.
//
// Thread safety: a connection belongs to one thread at a time; several may share an OpenedFile.
#pragma once

#include <cstdint>
#include <memory>

#include "schema/base/result.hpp"
#include "schema/database/opened_file.hpp"

struct sqlite3;

namespace thirstline {

/// The work that a statement may do between two of its rows, in SQLite's own steps (about ten for
/// each row that it visits).
struct WorkBudget {
    std::int64_t steps_left = 0;
    bool was_spent = false;
    const OpenedFile* file = nullptr;
};

/// For a statement that finds a few rows by their key.
inline constexpr std::int64_t kLookUpSteps = 1'000'000;

/// For a statement that scans whole tables of a file of that size: more than valid rows can take.
[[nodiscard]] inline std::int64_t whole_table_steps(std::int64_t file_bytes) {
    return 10'000'000 + 4 * file_bytes;
}

/// The budget of a connection made here; null for any other.
[[nodiscard]] WorkBudget* work_budget_of(sqlite3* connection);

class ReadOnlyConnection {
  public:
    /// Errors: those of SQLite.
    [[nodiscard]] static Result<ReadOnlyConnection> to(std::shared_ptr<OpenedFile> file);
    ReadOnlyConnection(ReadOnlyConnection&&) noexcept;
    ReadOnlyConnection& operator=(ReadOnlyConnection&&) noexcept;
    /// All statements must be destroyed first.
    ~ReadOnlyConnection();

    [[nodiscard]] sqlite3* get() const;
    [[nodiscard]] const std::shared_ptr<OpenedFile>& file() const;

  private:
    struct State;
    explicit ReadOnlyConnection(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

}  // namespace thirstline
