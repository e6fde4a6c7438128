// Faults that a build or a check found in its sources: every rejected value, and the reason.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "schema/geo/lat_lon.hpp"

namespace thirstline {

/// One value, or one line of a table, that was rejected.
struct Suspect {
    std::string source;
    std::string file;
    std::optional<std::int64_t> line;  ///< line of a table
    std::optional<LatLon> position;    ///< position of a grid's cell or a lattice point
    std::optional<std::string> station;
    std::string variable;
    std::optional<int> month;  ///< 1 to 12
    std::optional<int> year;   ///< of a record
    std::string value;         ///< as written in the file, or in the unit of computation
    std::string rule;          ///< the rule that it breaks
    std::string action;        ///< the action taken
    bool is_used = false;      ///< the value is doubtful, and was used nevertheless
};

/// Counts of a source: values used, and values rejected by each rule. The examples are the first
/// ones: of grids and postal codes up to kMaxExamples per rule, of stations up to kMaxListed.
struct SourceTally {
    static constexpr std::size_t kMaxExamples = 20;
    static constexpr std::int64_t kMaxListed = 10'000;

    std::int64_t used = 0;
    std::int64_t outside = 0;  ///< rows, or postal codes, outside the region: not judged
    std::map<std::string, std::int64_t> rejected;  ///< or doubtful: with those that were used
    std::map<std::string, std::int64_t> doubtful;  ///< of these, those that were used
    std::vector<Suspect> examples;

    /// Counts without those that were used; no zeros.
    [[nodiscard]] std::map<std::string, std::int64_t> not_used() const;

    void reject(const std::string& rule, std::int64_t count = 1) { rejected[rule] += count; }
    /// Counts one rejection and lists it, up to kMaxListed for its rule: a table of rejected rows
    /// only must not take more memory than a valid one.
    void reject_and_list(Suspect suspect);
    /// Keeps the example unless the rule has kMaxExamples already.
    void add_example(const Suspect& suspect);
    /// Adds another tally of the same source, made after this one.
    void add(const SourceTally& later);
};

}  // namespace thirstline
