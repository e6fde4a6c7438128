// Files, folders, patterns and archives of stations.
#include "builder/stations/station_files.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

TEST(StationFiles, Patterns) {
    for (const auto& [name, pattern] : {std::pair{"a.csv", "*.csv"},
                                        {"a.csv", "?.csv"},
                                        {"a.csv", "*"},
                                        {"aab", "*ab"},
                                        {"monthly-X1.csv", "monthly-*.csv"},
                                        {"abcabd", "*ab?"},
                                        {"", "*"},
                                        {"a", "a***"}}) {
        EXPECT_TRUE(fits_pattern(name, pattern)) << name << " " << pattern;
    }
    for (const auto& [name, pattern] : {std::pair{"a.csv", "*.txt"},
                                        {"ab.csv", "?.csv"},
                                        {"", "?"},
                                        {"a.csv", "a.cs"},
                                        {"a.cs", "a.csv"},
                                        {"aXb", "a?"}}) {
        EXPECT_FALSE(fits_pattern(name, pattern)) << name << " " << pattern;
    }
}

class StationFolders : public testing::Test {
  protected:
    std::vector<std::string> names(const std::string& path) const {
        const auto files = station_files(path, "merrow.toml:9");
        EXPECT_TRUE(files) << (files ? "" : files.error().message);
        std::vector<std::string> found;
        for (const std::string& file : files.value_or(std::vector<std::string>{}))
            found.push_back(file.substr(tables_.path("").size()));
        return found;
    }
    std::string message(const std::string& path) const {
        const auto files = station_files(path, "merrow.toml:9");
        EXPECT_FALSE(files);
        if (files) return "";
        EXPECT_EQ(files.error().code, ErrorCode::io);
        return files.error().message;
    }
    test::StationTables tables_;
};

TEST_F(StationFolders, SortedWithoutHiddenFilesAndFolders) {
    std::filesystem::create_directory(tables_.path("some"));
    std::filesystem::create_directory(tables_.path("some/deeper.csv"));
    for (const char* name : {"some/b.csv", "some/a.csv", "some/c.txt", "some/.hidden.csv"})
        tables_.add_file(name, "x");
    using Names = std::vector<std::string>;
    EXPECT_EQ(names(tables_.path("some")), (Names{"some/a.csv", "some/b.csv", "some/c.txt"}));
    EXPECT_EQ(names(tables_.path("some/*.csv")), (Names{"some/a.csv", "some/b.csv"}));
    EXPECT_EQ(names(tables_.path("some/a.csv")), (Names{"some/a.csv"}));
    EXPECT_EQ(message(tables_.path("some/d*")).substr(0, 13), "merrow.toml:9");
    EXPECT_NE(message(tables_.path("some/d*")).find("no file fits"), std::string::npos);
    EXPECT_NE(message(tables_.path("none.csv")).find("no such file"), std::string::npos);
    std::filesystem::create_directory(tables_.path("empty"));
    EXPECT_NE(message(tables_.path("empty")).find("no file is in"), std::string::npos);
}

TEST_F(StationFolders, ArchivesAreFolders) {
    const std::string plain = tables_.add_file("a.csv", "x");
    const std::string zip = tables_.path("all.zip");
    copy_file(plain, "/vsizip/" + zip + "/b.csv");
    copy_file(plain, "/vsizip/" + zip + "/a.csv");
    copy_file(plain, "/vsizip/" + zip + "/a.txt");
    const std::string in_zip = "/vsizip/" + zip + "/";
    using Names = std::vector<std::string>;
    const Names all{in_zip + "a.csv", in_zip + "a.txt", in_zip + "b.csv"};
    EXPECT_EQ(station_files(zip, "merrow.toml:9").value(), all);
    EXPECT_EQ(station_files("/vsizip/" + zip, "merrow.toml:9").value(), all);
    EXPECT_EQ(station_files(zip + "/*.csv", "merrow.toml:9").value(), (Names{all[0], all[2]}));
    const std::string gz = tables_.path("a.csv.gz");
    copy_file(plain, "/vsigzip/" + gz);
    EXPECT_EQ(station_files(gz, "merrow.toml:9").value(), std::vector{"/vsigzip/" + gz});
    EXPECT_EQ(station_files("/vsigzip/" + gz, "merrow.toml:9").value(),
              std::vector{"/vsigzip/" + gz});
}

}  // namespace
}  // namespace thirstline
