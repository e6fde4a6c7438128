// Sentences about errors in the command line of a sample program.
#include "schema/command_line/usage_sentences.hpp"

#include <gtest/gtest.h>

#include <CLI/App.hpp>
#include <sstream>
#include <vector>

#include "schema/command_line/option_values.hpp"

namespace thirstline {
namespace {

/// The error of a command line of the program "act", with the command "read".
Error error_of(const std::string& line) {
    CLI::App app;
    app.name("act");
    CLI::App* read = app.add_subcommand("read", "reads");
    std::string file;
    std::string at;
    std::string postal;
    std::string format;
    int jobs = 1;
    bool overwrite = false;
    read->add_option("file", file, "what to read")->type_name("FILE")->required();
    read->add_option("--at", at, "where")->type_name("LAT,LON");
    read->add_option("--postal", postal, "or where")->type_name("CODE");
    add_word_option(*read, format, {"--format", "", {"text", "json"}, "", "FORMAT", "Output"});
    require_number(*read->add_option("--jobs", jobs, "threads")->type_name("N"), 1, 4);
    read->add_flag("--overwrite", overwrite, "replace");

    std::istringstream words(line);
    std::vector<std::string> arguments;
    for (std::string word; words >> word;) arguments.insert(arguments.begin(), word);
    try {
        app.parse(std::move(arguments));
    } catch (const CLI::ParseError& error) {
        return usage_error(*app.get_subcommands().front(), error);
    }
    ADD_FAILURE() << line << " was accepted";
    return {};
}

TEST(UsageSentences, NameTheOptionThatWasMeant) {
    EXPECT_EQ(error_of("read x --postl 1").message,
              "unknown option --postl; did you mean --postal?");
    EXPECT_EQ(error_of("read x --zip 1").message, "unknown option --zip; did you mean --postal?");
    EXPECT_EQ(error_of("read x --json").message,
              "unknown option --json; did you mean --format json?");
    EXPECT_EQ(error_of("read x --force").message,
              "unknown option --force; did you mean --overwrite?");
    EXPECT_EQ(error_of("read x --zip 1").hint, "act read --help lists the options");
}

TEST(UsageSentences, OfferNothingThatIsFarFromTheWord) {
    EXPECT_EQ(error_of("read x --fast").message, "unknown option --fast");
    EXPECT_EQ(error_of("read x -x").message, "unknown option -x");
    // The command has no --as.
    EXPECT_EQ(error_of("read x --image").message, "unknown option --image");
}

TEST(UsageSentences, CountWhatIsGivenTooOften) {
    EXPECT_EQ(error_of("read x --postal 1 --postal 2").message, "--postal is given twice");
    EXPECT_EQ(error_of("read x --postal 1 --postal 2 --postal 3").message,
              "--postal is given 3 times");
}

TEST(UsageSentences, SayWhatIsNeeded) {
    EXPECT_EQ(error_of("read x --at").message, "--at needs a value: LAT,LON");
    EXPECT_EQ(error_of("read").message, "read needs the argument FILE");
}

TEST(UsageSentences, RecognizeCoordinatesWithASpace) {
    const Error error = error_of("read x --at 44.45, -37.59");
    EXPECT_EQ(error.message, "unexpected argument \"-37.59\"");
    EXPECT_NE(error.hint.find("without a space"), std::string::npos);
    EXPECT_EQ(error_of("read x y").message, "unexpected argument \"y\"");
}

TEST(UsageSentences, RepeatWhatAValueMustBe) {
    EXPECT_EQ(error_of("read x --jobs 9").message,
              "--jobs must be a number from 1 to 4, not \"9\"");
    EXPECT_EQ(error_of("read x --format xml").message,
              "--format must be one of text, json, not \"xml\"");
}

}  // namespace
}  // namespace thirstline
