// The implementation of a `thirstline_file`: the database, and all texts that answers point to.
#pragma once

#include <atomic>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "lookup/library/reply.hpp"
#include "lookup/site/near_stations.hpp"
#include "lookup/site/site_report.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "thirstline/thirstline.h"

namespace thirstline {

class OpenFile {
  public:
    explicit OpenFile(std::unique_ptr<Database> database) : database_(std::move(database)) {}

    [[nodiscard]] Database& database() { return *database_; }

    /// The requested number of further connections to the same file; they are kept for later calls.
    /// Errors: those of Database::open.
    [[nodiscard]] Result<std::vector<Database*>> more_databases(std::size_t count);

    /// A copy of the text that is kept as long as the file is open. Texts come from the file and
    /// from short lists, so memory is bounded.
    [[nodiscard]] const char* kept(const std::string& text);

    /// Errors: those of reading the file, each as below.
    [[nodiscard]] Result<const Baseline*> baseline();
    [[nodiscard]] Result<const std::vector<StationRecord>*> stations();
    [[nodiscard]] Result<const char*> period(std::uint8_t period_id);

    /// The answer as a struct of the C interface.
    [[nodiscard]] Result<thirstline_site> plain_site(const Reply& answer);
    /// The divisors of that struct's integers.
    void fill_divisors(thirstline_baseline& baseline) const;

    /// The last answer as JSON, for the caller to read until the next.
    [[nodiscard]] const char* kept_json(std::string json) {
        json_ = std::move(json);
        return json_.c_str();
    }

  private:
    std::string json_;
    std::unique_ptr<Database> database_;
    std::vector<std::unique_ptr<Database>> more_databases_;
    std::set<std::string, std::less<>> texts_;
    std::map<std::uint8_t, const char*> periods_;
    std::optional<Baseline> baseline_;
    std::optional<std::vector<StationRecord>> stations_;
};

}  // namespace thirstline

/// The opaque type of the C interface.
struct thirstline_file {  // NOLINT(readability-identifier-naming)
    thirstline::OpenFile open;
    std::atomic<bool> in_use = false;  ///< a call is using it
};
