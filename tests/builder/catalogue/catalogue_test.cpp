// Every block of the catalogue and every ready recipe, read by the reader of recipes.
#include "builder/catalogue/catalogue.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "builder/catalogue/catalogue_text.hpp"
#include "builder/fetch/data_files.hpp"
#include "builder/licences/licences.hpp"
#include "builder/recipe/recipe.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/raster_fixtures.hpp"

namespace thirstline {
namespace {

constexpr const char* kHead = R"([baseline]
title = "A block of the catalogue"
period = "1991-2020"
[lattice]
spacing_arcsec = 1800
bbox = [-10.0, 40.0, 10.0, 50.0]
)";

constexpr const char* kElevation = R"([elevation]
path = "elevation.tif"
unit = "m"
)";

constexpr const char* kTemperature = R"([[grid]]
name = "%"
variable = "%"
path = "%.tif"
unit = "degC"
period = "1991-2020"
licence = "CC0-1.0"
attribution = "Merrow Weather Office"
)";

std::string temperature(const std::string& variable) {
    std::string text = kTemperature;
    for (auto at = text.find('%'); at != std::string::npos; at = text.find('%'))
        text.replace(at, 1, variable);
    return text;
}

class CatalogueTest : public testing::Test {
  protected:
    void SetUp() override {
        auto catalogue = Catalogue::load();
        ASSERT_TRUE(catalogue) << catalogue.error().message;
        catalogue_ = std::move(*catalogue);
        auto licences = Licences::known();
        ASSERT_TRUE(licences) << licences.error().message;
        licences_ = std::move(*licences);
    }

    /// Reads a recipe and lists its downloads, which the test has not.
    std::vector<DataFile> files_of(const std::string& text) const {
        const std::string path = folder_ / "recipe.toml";
        test::write_text(path, text);
        const auto recipe = read_recipe(path);
        EXPECT_TRUE(recipe) << recipe.error().message << "\n" << text;
        if (!recipe) return {};
        const auto files = data_files(*recipe);
        EXPECT_TRUE(files) << files.error().message;
        return files.value_or(std::vector<DataFile>{});
    }

    Catalogue catalogue_;
    Licences licences_;
    TempFolder folder_;
};

TEST_F(CatalogueTest, EverySourceIsDescribed) {
    std::set<std::string> names;
    for (const CatalogueSource& source : catalogue_.sources()) {
        SCOPED_TRACE(source.name);
        EXPECT_TRUE(names.insert(source.name).second);
        for (const std::string& text :
             {source.name, source.title, source.provider, source.kind, source.region,
              source.resolution, source.licence, source.verified})
            EXPECT_FALSE(text.empty());
        EXPECT_FALSE(source.variables.empty());
        EXPECT_TRUE(source.verified == "seen" || source.verified == "second-hand" ||
                    source.verified == "from memory");
        EXPECT_NE(licences_.find(source.licence), nullptr) << source.licence;
        // What cannot be read is listed to say why; what is read has addresses or is by hand.
        if (source.block.empty()) {
            EXPECT_FALSE(source.not_used.empty());
        } else {
            EXPECT_TRUE(!source.by_hand.empty() || !source.urls().empty());
        }
    }
}

TEST_F(CatalogueTest, EveryBlockIsAPartOfARecipe) {
    int blocks = 0;
    for (const CatalogueSource& source : catalogue_.sources()) {
        if (source.block.empty()) continue;
        SCOPED_TRACE(source.name);
        ++blocks;
        std::string text = std::string(kHead) + source_text(source, licences_);
        if (source.kind != "elevation") text += kElevation;
        text += temperature("tmax") + temperature("tmin");
        const auto files = files_of(text);
        ASSERT_FALSE(files.empty());
        const auto by_hand = std::count_if(files.begin(), files.end(),
                                           [](const DataFile& file) { return file.url.empty(); });
        EXPECT_EQ(by_hand > 0, !source.by_hand.empty());
        // The licence word of the entry is that of its block.
        EXPECT_NE(source.block.find("licence = \"" + source.licence + "\""), std::string::npos);
    }
    EXPECT_GE(blocks, 8);
}

/// The recipe with the blocks in it that are written as comments.
std::string with_all_blocks(const std::string& recipe) {
    std::istringstream lines(recipe);
    std::string text;
    for (std::string line; std::getline(lines, line);)
        text +=
            (line.size() > 1 && line[0] == '#' && line[1] != ' ' ? line.substr(1) : line) + "\n";
    return text;
}

TEST_F(CatalogueTest, EveryReadyRecipeIsRead) {
    std::set<std::string> names;
    for (const ReadyRecipe& recipe : catalogue_.recipes()) {
        SCOPED_TRACE(recipe.name);
        names.insert(recipe.name);
        const auto text = recipe_text(catalogue_, recipe);
        ASSERT_TRUE(text) << text.error().message;
        const auto files = files_of(*text);
        const auto all = files_of(with_all_blocks(*text));
        EXPECT_GE(files.size(), 8U);
        EXPECT_GE(all.size(), files.size());
        // Only elevation has no address in a recipe as it is printed.
        for (const DataFile& file : files)
            EXPECT_TRUE(!file.url.empty() || file.name == "elevation.tif") << file.name;
        // Sources that must not be passed on are named, and not used.
        for (const ReadyRecipe::Part& part : recipe.parts) {
            const auto source = catalogue_.source(part.source);
            ASSERT_TRUE(source);
            EXPECT_TRUE(source->not_used.empty()) << part.source;
            EXPECT_EQ(source->is_by_country(), !part.countries.empty()) << part.source;
            const Licence* licence = licences_.find(source->licence);
            ASSERT_NE(licence, nullptr);
            EXPECT_TRUE(licence->may_be_passed_on && licence->allows_commercial_use) << part.source;
        }
        for (const std::string& name : recipe.not_used) {
            const auto source = catalogue_.source(name);
            ASSERT_TRUE(source) << name;
            EXPECT_NE(text->find("Not used: " + source->title), std::string::npos) << name;
        }
        EXPECT_NE(text->find("# Downloads: "), std::string::npos);
        EXPECT_EQ(text->find("{country}"), std::string::npos);
    }
    EXPECT_EQ(names, (std::set<std::string>{"australia", "conterminous-us", "europe",
                                            "north-america", "world"}));
}

TEST_F(CatalogueTest, AnUnknownNameGetsTheNearest) {
    const auto source = catalogue_.source("terraclimat");
    ASSERT_FALSE(source);
    EXPECT_EQ(source.error().code, ErrorCode::usage);
    EXPECT_NE(source.error().message.find("did you mean \"terraclimate\"?"), std::string::npos)
        << source.error().message;
    const auto recipe = catalogue_.recipe("europa");
    ASSERT_FALSE(recipe);
    EXPECT_NE(recipe.error().message.find("did you mean \"europe\"?"), std::string::npos);
    EXPECT_NE(recipe.error().hint.find("north-america"), std::string::npos);
}

TEST_F(CatalogueTest, JsonHasEverySourceWithItsAddresses) {
    const auto json = nlohmann::json::parse(sources_json(catalogue_.sources(), licences_));
    ASSERT_EQ(json["sources"].size(), catalogue_.sources().size());
    for (const auto& source : json["sources"]) {
        for (const auto& url : source["urls"])
            EXPECT_TRUE(url.get<std::string>().starts_with("http")) << url;
        EXPECT_TRUE(source["licence"].contains("may_be_passed_on")) << source["name"];
    }
}

}  // namespace
}  // namespace thirstline
