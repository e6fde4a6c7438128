// The list of a recipe's keys against the reading of recipes: none is unknown there.
// check_recipe_keys.py compares the other way round.
#include "builder/recipe/recipe_keys.hpp"

#include <gtest/gtest.h>

#include <map>
#include <set>

#include "builder/recipe/recipe.hpp"
#include "tests/support/raster_fixtures.hpp"
#include "tests/support/recipe_text.hpp"

namespace thirstline {
namespace {

using test::changed;

/// A recipe with a place for a line more, marked by a line "@".
const std::string kBaseline = "[baseline]\ntitle = \"Merrow\"\nperiod = \"1991-2020\"\n";
const std::string kLattice = "[lattice]\nspacing_arcsec = 900\nbbox = [-39, 44, -37, 46]\n";
const std::string kElevation = "[elevation]\npath = \"z.tif\"\n";
const std::string kTerms =
    "name = \"Merrow\"\nperiod = \"1991-2020\"\nlicence = \"CC0-1.0\"\nattribution = \"Merrow\"\n";
const std::string kGrid = "[[grid]]\nvariable = \"eto\"\npath = \"e.tif\"\nunit = \"mm\"\n" +
                          kTerms + "reference = \"short\"\nequation = \"FAO-56\"\n";
const std::string kAround = kBaseline + kLattice + kElevation + kGrid;

const std::string kLongTable =
    "[[stations]]\nlayout = \"long\"\npath = \"s.csv\"\n" + kTerms +
    "units = { wind = \"m/s\", eto = \"mm\" }\nreference = \"short\"\nequation = \"FAO-56\"\n";
const std::string kLongColumns =
    "lat = \"lat\", lon = \"lon\", month = \"m\", wind = \"w\", eto = \"e\"";
const std::string kWideTable =
    "[[stations]]\nlayout = \"wide\"\nvariable = \"rain\"\nunit = \"mm\"\npath = \"s.csv\"\n" +
    kTerms;
const std::string kWideColumns =
    "lat = \"lat\", lon = \"lon\", feb = \"2\", mar = \"3\", apr = \"4\", may = \"5\", jun = "
    "\"6\", jul = \"7\", aug = \"8\", sep = \"9\", oct = \"10\", nov = \"11\", dec = \"12\"";
const std::string kRecords =
    "[[records]]\nstep = \"day\"\npath = \"s.csv\"\n" + kTerms + "units = { tmax = \"degC\" }\n";
const std::string kPostal = "[[postal]]\ncountry = \"XM\"\npath = \"p.csv\"\nlayout = \"csv\"\n";

std::string columns(const std::string& keys) {
    return "columns = { " + keys + " }\n";
}

const std::string kPositionsKeys = "path = \"i.csv\", key = \"id\", lat = \"lat\", lon = \"lon\"";

/// By group: recipes in which "@" stands where the keys of the group belong; inside braces a
/// comma goes before a key.
std::map<std::string_view, std::vector<std::string>> places_of_groups() {
    const std::string long_columns = columns(kLongColumns);
    const std::string date_columns =
        columns("lat = \"lat\", lon = \"lon\", date = \"d\", tmax = \"t\"");
    const auto within = [](std::string text) { return kAround + text; };
    std::map<std::string_view, std::vector<std::string>> places;
    places["[baseline]"] = {kBaseline + "@\n" + kLattice + kElevation + kGrid};
    places["[lattice]"] = {kBaseline + kLattice + "@\n" + kElevation + kGrid};
    places["[elevation]"] = {kBaseline + kLattice + kElevation + "@\n" + kGrid};
    places["[output]"] = {within("[output]\n@\n")};
    places["[[grid]]"] = {within("@\n"),
                          within("[[grid]]\nvariable = \"wind\"\npath = \"w.tif\"\nunit = "
                                 "\"m/s\"\n" +
                                 kTerms + "@\n")};
    places["[[stations]]"] = {within(kLongTable + long_columns + "@\n"),
                              within(kWideTable + columns(kWideColumns + ", jan = \"1\"") + "@\n")};
    places["[[records]]"] = {
        within(kRecords + date_columns + "@\n"),
        within(changed(kRecords, "\"day\"", "\"hour\"") + date_columns + "@\n")};
    places["[[postal]]"] = {
        within(kPostal + columns("code = \"c\", lat = \"lat\", lon = \"lon\"") + "@\n")};
    places["tables of stations"] = {places["[[stations]]"].front()};
    places["columns"] = {
        within(kLongTable + columns(kLongColumns + " @")),
        within(kWideTable + columns(kWideColumns + " @")),
        within(kRecords + columns("lat = \"lat\", lon = \"lon\", tmax = \"t\", year = \"y\" @")),
        within(kRecords + columns("lat = \"lat\", lon = \"lon\", tmax = \"t\" @")),
        within(changed(kRecords, "\"day\"", "\"hour\"\ntime = \"utc\"\nhour_stamp = \"end\"") +
               columns("lat = \"lat\", lon = \"lon\", tmax = \"t\", year = \"y\" @")),
        within(kRecords + columns("lat = \"lat\", lon = \"lon\", tmax = \"t\", date = \"d\" @"))};
    places["positions"] = {within(kLongTable + columns("month = \"m\", wind = \"w\", eto = \"e\"") +
                                  "positions = { " + kPositionsKeys + " @ }\n")};
    places["completeness"] = {within(kRecords + date_columns +
                                     "completeness = { share_of_years = "
                                     "0.8 @ }\n"),
                              within(kRecords + date_columns +
                                     "completeness = { min_years = 10 @ "
                                     "}\n")};
    places["station"] = {within(kRecords + columns("date = \"d\", tmax = \"t\"") +
                                "station = { name = \"Thessle\", lat = 45, lon = -38 @ }\n")};
    places["columns of [[postal]]"] = {
        within(kPostal + columns("code = \"c\", lat = \"lat\", lon = \"lon\" @"))};
    places["terms of a source"] = places["[[grid]]"];
    places["url"] = {within("url = { from = \"https://example.org/a\", as = \"b\" @ }\n")};
    places["form of a table"] = {places["[[stations]]"].front()};
    return places;
}

/// Whether a recipe with the key is read, or rejected for any other reason than an unknown key.
bool is_known(const std::string& place, std::string_view key) {
    const TempFolder folder;
    const std::size_t at = place.find('@');
    const bool is_in_braces = at > 0 && place[at - 1] == ' ';
    std::string text = place;
    text.replace(at, 1, std::string(is_in_braces ? ", " : "") + std::string(key) + " = \"x\"");
    test::write_text(folder / "merrow.toml", text);
    const auto recipe = read_recipe(folder / "merrow.toml");
    if (recipe) return true;
    return recipe.error().message.find("unknown key \"" + std::string(key)) == std::string::npos;
}

TEST(RecipeKeys, EveryListedKeyIsRead) {
    const auto places = places_of_groups();
    for (const RecipeKeyGroup& group : recipe_key_groups()) {
        const auto found = places.find(group.table);
        ASSERT_NE(found, places.end()) << group.table;
        for (const std::string& place : found->second)
            EXPECT_FALSE(is_known(place, "merrow_ford")) << group.table << "\n" << place;
        for (const RecipeKey& key : group.keys) {
            bool known = false;
            for (const std::string& place : found->second)
                known = known || is_known(place, key.key);
            EXPECT_TRUE(known) << group.table << " " << key.key;
            EXPECT_FALSE(key.meaning.empty()) << key.key;
            EXPECT_TRUE(key.meaning.ends_with('.')) << key.key;
        }
    }
}

TEST(RecipeKeys, GroupsThatAreReferredToExist) {
    std::set<std::string_view> names;
    for (const RecipeKeyGroup& group : recipe_key_groups()) names.insert(group.table);
    for (const RecipeKeyGroup& group : recipe_key_groups()) {
        for (std::size_t begin = 0; begin < group.also.size();) {
            const std::size_t end = std::min(group.also.find(", ", begin), group.also.size());
            EXPECT_TRUE(names.contains(group.also.substr(begin, end - begin))) << group.also;
            begin = end + 2;
        }
    }
}

}  // namespace
}  // namespace thirstline
