// Names from a file cannot control the terminal that shows them.
#include "lookup/site_output/near_output.hpp"

#include <gtest/gtest.h>

#include "lookup/commands/lookup_program.hpp"
#include "schema/text/utf8_text.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/captured_sink.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

/// A file in whose station, place, source and notice stand characters that steer a terminal.
std::string steering_file() {
    const std::string path = test::merrow_database({.stations = true});
    // ESC ] 0 ; … BEL sets a window's title, U+202E turns the text around, U+009B begins a command.
    const std::string steering = "char(27) || ']0;x' || char(7) || char(8238) || char(155) || '2J'";
    test::run_on_file(path, "UPDATE source SET attribution = " + steering +
                                "; UPDATE metadata SET value = " + steering +
                                " WHERE key IN ('notice', 'title')");
    for (const char* table : {"station", "postal"}) {
        const bool is_station = std::string(table) == "station";
        test::run_on_file(path, std::string("UPDATE ") + table + " SET " +
                                    (is_station ? "name" : "place") + " = " + steering);
    }
    test::reseal_rows(path);
    test::seal(path);
    return path;
}

std::string printed(std::vector<const char*> arguments) {
    arguments.insert(arguments.begin(), "thirstline-lookup");
    test::CapturedSink sink;
    const auto status =
        run_lookup(static_cast<int>(arguments.size()), arguments.data(), Environment{}, sink);
    EXPECT_TRUE(status.has_value()) << status.error().message;
    return sink.text;
}

TEST(NearOutput, AndSiteAndInfoHoldNoControlCharacter) {
    const std::string path = steering_file();
    const char* db = path.c_str();
    for (const std::vector<const char*>& arguments :
         {std::vector{"near", "--db", db, "--at", "47.25,-30.5"},
          {"near", "--db", db, "--at", "47.25,-30.5", "--format", "json"},
          {"site", "--db", db, "--postal", "4021", "--country", "XM"},
          {"site", "--db", db, "--postal", "4021", "--country", "XM", "--format", "json"},
          {"info", "--db", db},
          {"info", "--db", db, "--format", "json"}}) {
        const std::string text = printed(arguments);
        EXPECT_FALSE(text.empty());
        EXPECT_EQ(terminal_text(text), text) << arguments[0];
        EXPECT_NE(text.find("]0;x"), std::string::npos) << arguments[0];
    }
}

// No station is used where the file has no answer.
TEST(NearOutput, AtAPlaceWithoutDataSaysSo) {
    const std::string path = steering_file();
    const std::vector<const char*> arguments{"thirstline-lookup", "near", "--db",
                                             path.c_str(),        "--at", "-10,100"};
    test::CapturedSink sink;
    const auto status =
        run_lookup(static_cast<int>(arguments.size()), arguments.data(), Environment{}, sink);
    ASSERT_FALSE(status.has_value());
    EXPECT_EQ(status.error().code, ErrorCode::no_data);
    EXPECT_EQ(status.error().message.find("the file has no data within "), 0U)
        << status.error().message;
    EXPECT_EQ(sink.text, "");
}

}  // namespace
}  // namespace thirstline
