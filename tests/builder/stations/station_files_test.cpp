// Files, folders, patterns and archives of stations.
#include "builder/stations/station_files.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

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

TEST_F(StationFolders, AnArchiveIsOneFile) {
    const std::string plain = tables_.add_file("a.csv", "x");
    const std::string zip = tables_.path("all.zip");
    copy_file(plain, "/vsizip/" + zip + "/b.csv");
    for (const std::string& path : {zip, "/vsizip/" + zip, zip + "/*.csv", zip + "/b.csv"})
        EXPECT_EQ(station_files(path, "merrow.toml:9").value(), std::vector{zip}) << path;
    EXPECT_NE(message(tables_.path("none.zip")).find("no such file"), std::string::npos);
    const std::string gz = tables_.path("a.csv.gz");
    copy_file(plain, "/vsigzip/" + gz);
    EXPECT_EQ(station_files(gz, "merrow.toml:9").value(), std::vector{gz});
    EXPECT_EQ(station_files("/vsigzip/" + gz, "merrow.toml:9").value(),
              std::vector{"/vsigzip/" + gz});
}

TEST_F(StationFolders, TablesOfAnArchiveAreVisitedInItsOrder) {
    const std::string zip = tables_.path("all.zip");
    for (const char* name : {"b.csv", "a.csv", "a.txt", ".hidden.csv"})
        copy_file(tables_.add_file("x", name), "/vsizip/" + zip + "/" + name);
    const auto visited = [&](const std::string& path) {
        std::vector<std::string> found;
        const auto read = visit_station_tables(
            path, "merrow.toml:9", [&](const std::string& file, const ByteSource& bytes) {
                char content[16];
                const auto count = bytes(content, sizeof content);
                EXPECT_TRUE(file.ends_with("/" + std::string(content, count.value_or(0)))) << file;
                found.push_back(file.substr(zip.size() + 1));
                return Result<void>{};
            });
        EXPECT_TRUE(read) << (read ? "" : read.error().message);
        return found;
    };
    using Names = std::vector<std::string>;
    EXPECT_EQ(visited(zip), (Names{"b.csv", "a.csv", "a.txt"}));
    EXPECT_EQ(visited(zip + "/*.csv"), (Names{"b.csv", "a.csv"}));
    EXPECT_EQ(visited("/vsizip/" + zip + "/a.csv"), (Names{"a.csv"}));
    const auto none =
        visit_station_tables(zip + "/*.dat", "merrow.toml:9",
                             [](const std::string&, const ByteSource&) { return Result<void>{}; });
    ASSERT_FALSE(none);
    EXPECT_EQ(none.error().message, "merrow.toml:9: no file in " + zip + " fits *.dat");
}

}  // namespace
}  // namespace thirstline
