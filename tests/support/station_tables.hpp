// Station tables generated for the tests, their recipe, and the results of reading both.
#pragma once

#include <gtest/gtest.h>

#include <optional>
#include <string>
#include <vector>

#include "builder/recipe/recipe.hpp"
#include "builder/stations/station_set.hpp"
#include "tests/support/raster_fixtures.hpp"

namespace thirstline::test {

/// Lines of a [[stations]] table; the terms are added.
struct SourceLines {
    std::string name = "Merrow stations";
    std::string lines;
    std::string period = "1991-2020";
};

class StationTables {
  public:
    /// Tables may have stations anywhere.
    double station_margin_km = kLargestMarginKm;

    /// Writes a file in the folder; returns its path.
    std::string add_file(const std::string& name, const std::string& content);
    void add_source(const SourceLines& source);
    /// The same for a [[records]] table.
    void add_record(const SourceLines& source);
    /// Adds a source with its own table, `name`.csv: "long", with columns station, country, lat,
    /// lon, elevation and month before the variables (tmax_c, tmin_c …) named in `columns`.
    void add_long_table(const std::string& name, const std::string& columns,
                        const std::string& units, const std::string& rows,
                        const std::string& more = "");

    /// A recipe with only these sources, preceded by `more`. Messages call it merrow.toml.
    [[nodiscard]] Result<Recipe> recipe(const std::string& more = "") const;
    /// Fails the test and throws if there is none.
    [[nodiscard]] StationSet stations() const;
    /// The error of reading; fails the test if there is none.
    [[nodiscard]] Error error() const;

    [[nodiscard]] std::string path(const std::string& name) const { return folder_ / name; }

  private:
    TempFolder folder_;
    std::string sources_;
};

/// A recipe of these postal codes only, with a lattice over the whole world.
[[nodiscard]] Recipe recipe_of_postal_codes(std::vector<PostalRecipe> postal);

/// Number of values rejected by the rule, over all sources.
[[nodiscard]] std::int64_t rejected(const StationSet& set, const std::string& rule);
/// The same over all rules.
[[nodiscard]] std::int64_t rejected(const StationSet& set);
/// The first example for the rule; fails the test and throws if there is none.
[[nodiscard]] Suspect example(const StationSet& set, const std::string& rule);
/// Months in use, over all sources.
[[nodiscard]] std::int64_t used(const StationSet& set);
/// The station of that name; fails the test and throws if there is none.
[[nodiscard]] const Station& station(const StationSet& set, const std::string& name);
[[nodiscard]] std::size_t station_index(const StationSet& set, const std::string& name);

/// Twelve rows "station,country,lat,lon,elevation,month,…" ending with the given fields; "{m}" in
/// them becomes the month.
[[nodiscard]] std::string twelve_rows(const std::string& beginning, const std::string& fields);

}  // namespace thirstline::test
