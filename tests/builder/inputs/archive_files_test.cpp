// Tables in zip and tar archives.
#include "builder/inputs/archive_files.hpp"

#include <archive.h>
#include <archive_entry.h>
#include <gtest/gtest.h>

#include "builder/inputs/vsi_bytes.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/station_tables.hpp"

namespace thirstline {
namespace {

TEST(ArchivePaths, Patterns) {
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

TEST(ArchivePaths, AreSplitAfterTheArchive) {
    const auto split = [](const std::string& path) {
        const auto found = archive_path(path);
        return found ? found->archive + " | " + found->inside : "none";
    };
    EXPECT_EQ(split("data/all.tar.gz"), "data/all.tar.gz | ");
    EXPECT_EQ(split("data/all.tgz/daily/*.csv"), "data/all.tgz | daily/*.csv");
    EXPECT_EQ(split("/vsizip/US.zip/US.txt"), "US.zip | US.txt");
    EXPECT_EQ(split("/vsitar//tmp/a.tar"), "/tmp/a.tar | ");
    EXPECT_EQ(split("/vsizip//vsicurl/https://example.org/US.ZIP"),
              "/vsicurl/https://example.org/US.ZIP | ");
    EXPECT_EQ(split("a.csv"), "none");
    EXPECT_EQ(split("a.csv.gz"), "none");
    EXPECT_EQ(split("folder/*.zip"), "none");
    EXPECT_EQ(split("/vsizip/{a.zip}/b.csv"), "none");
    EXPECT_EQ(split(".zip"), "none");
    const TempFolder folder;
    test::write_text(folder / "x", "");
    EXPECT_EQ(split((folder / "x").substr(0, (folder / "x").size() - 2)), "none");
}

std::string text_of(const Result<ByteSource>& bytes) {
    if (!bytes) return bytes.error().message;
    std::string text(100, ' ');
    const auto count = (*bytes)(text.data(), text.size());
    text.resize(count.value_or(0));
    return count ? text : count.error().message;
}

/// Writes name and content of each file; the suffix decides the compression.
void write_tar(const std::string& path, const std::vector<std::string>& names) {
    archive* writing = archive_write_new();
    archive_write_set_format_pax_restricted(writing);
    if (path.ends_with("gz")) archive_write_add_filter_gzip(writing);
    if (path.ends_with("xz")) archive_write_add_filter_xz(writing);
    ASSERT_EQ(archive_write_open_filename(writing, path.c_str()), ARCHIVE_OK);
    for (const std::string& name : names) {
        const std::string content = "in " + name;
        archive_entry* entry = archive_entry_new();
        archive_entry_set_pathname(entry, name.c_str());
        archive_entry_set_size(entry, static_cast<la_int64_t>(content.size()));
        archive_entry_set_filetype(entry, AE_IFREG);
        archive_entry_set_perm(entry, 0644);
        archive_write_header(writing, entry);
        archive_write_data(writing, content.data(), content.size());
        archive_entry_free(entry);
    }
    archive_write_free(writing);
}

TEST(Archives, TheFileThatIsNamedIsRead) {
    const TempFolder folder;
    for (const char* name : {"a.tar", "a.tar.gz", "a.tgz", "a.tar.xz"}) {
        write_tar(folder / name, {"./doc/readme.txt", "./b.csv", "./.hidden"});
        const std::string path = folder / name;
        EXPECT_EQ(text_of(vsi_bytes(path + "/b.csv", "m.toml:7")), "in ./b.csv");
        EXPECT_EQ(text_of(vsi_bytes("/vsitar/" + path + "/doc/*", "m.toml:7")),
                  "in ./doc/readme.txt");
        EXPECT_EQ(text_of(vsi_bytes(path + "/c.csv", "m.toml:7")),
                  "m.toml:7: no file in " + std::string(name) + " is called c.csv");
        const auto several = vsi_bytes(path, "m.toml:7");
        EXPECT_EQ(text_of(several), "m.toml:7: " + std::string(name) +
                                        " has several files (doc/readme.txt, b.csv); it must "
                                        "have one table");
        EXPECT_EQ(several.error().hint,
                  "name it in the path, such as \"" + std::string(name) + "/doc/readme.txt\"");
    }
}

TEST(Archives, DamageIsAnError) {
    const TempFolder folder;
    const std::string path = folder / "a.tar.gz";
    std::vector<std::string> names;
    for (int i = 0; i < 300; ++i) names.push_back(std::to_string(i * 7919) + ".csv");
    write_tar(path, names);
    const std::string whole = test::content_of(path);
    test::write_text(path, whole.substr(0, whole.size() / 2));
    EXPECT_EQ(text_of(vsi_bytes(path, "m.toml:7")),
              "m.toml:7: " + path + " is damaged and cannot be read to its end");
    test::write_text(path, "not an archive");
    EXPECT_NE(text_of(vsi_bytes(path, "m.toml:7")).find("is not a zip or tar archive"),
              std::string::npos)
        << text_of(vsi_bytes(path, "m.toml:7"));
    EXPECT_NE(text_of(vsi_bytes(folder / "none.zip", "m.toml:7")).find("there is no such file"),
              std::string::npos);
}

}  // namespace
}  // namespace thirstline
