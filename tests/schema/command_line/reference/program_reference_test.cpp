// How man pages and completions are made from a program's declaration, piece by piece.
#include <gtest/gtest.h>

#include <CLI/App.hpp>

#include "schema/command_line/command.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/command_line/reference/man_page.hpp"
#include "schema/command_line/reference/program_outline.hpp"
#include "schema/command_line/reference/shell_completions.hpp"

namespace thirstline {
namespace {

TEST(ProgramReference, HasNoControlCharacters) {
    EXPECT_EQ(roff_text("--at 1"), "\\-\\-at 1");
    EXPECT_EQ(roff_text(".TH\n'x"), "\\&.TH\n\\&\\(aqx");
    EXPECT_EQ(roff_text("a\\n"), "a\\en");
}

/// A program with what trips quoting up.
struct SmallProgram {
    std::string text;
    std::vector<std::string> files;
    bool flag = false;
    CLI::App app{"Does little", "small-one"};

    SmallProgram() {
        CLI::App* command = app.add_subcommand("act", "Act: it's [quick]");
        command->add_option("-o,--output", text, "where it's put: a [file]")
            ->type_name("OUT")
            ->required();
        add_word_option(*command, text,
                        {"--kind", "", {"good", "very bad"}, "; default: good", "KIND", "A"});
        command->add_option("--folder", text, "a folder")->type_name("DIR");
        command->add_flag("--hidden", flag, "not shown")->group("");
        command->add_option("files", files, "what to read")->type_name("FILE")->required();
        command->footer("Notes.\n\n" + help_footer({"small-one act -o 'a b'"}));
        app.footer(help_footer({"small-one act"}));
    }
};

TEST(ProgramOutlineOfCli11, HoldsWhatIsShownAndNothingHidden) {
    const SmallProgram program;
    const ProgramOutline outline = program_outline(program.app);
    EXPECT_EQ(outline.name, "small-one");
    ASSERT_EQ(outline.commands.size(), 1U);
    const CommandOutline& act = outline.commands.front();
    EXPECT_EQ(act.notes, "Notes.");
    EXPECT_EQ(act.examples, std::vector<std::string>{"small-one act -o 'a b'"});
    ASSERT_EQ(act.arguments.size(), 1U);
    EXPECT_TRUE(act.arguments[0].repeats);
    EXPECT_EQ(act.arguments[0].kind, ArgumentKind::file);
    std::vector<std::string> names;
    for (const OptionOutline& option : act.options) names.push_back(option.names.back());
    EXPECT_EQ(names, (std::vector<std::string>{"--help", "--output", "--kind", "--folder"}));
    EXPECT_EQ(act.options[1].names.front(), "-o");
    EXPECT_TRUE(act.options[1].is_required);
    EXPECT_EQ(act.options[2].kind, ArgumentKind::word);
    EXPECT_EQ(act.options[2].words, (std::vector<std::string>{"good", "very bad"}));
    EXPECT_EQ(act.options[2].value, "KIND");
    EXPECT_EQ(act.options[2].description, "good or very bad; default: good");
    EXPECT_EQ(act.options[3].kind, ArgumentKind::folder);
    ASSERT_FALSE(outline.exit_statuses.empty());
    EXPECT_EQ(outline.exit_statuses[0], (std::pair<std::string, std::string>("0", "done")));
    EXPECT_EQ(outline.exit_statuses[4].second, "database damaged or of an unsupported version");
}

TEST(ManPage, RequiresEveryMarkInItsFrame) {
    const SmallProgram program;
    const ProgramOutline outline = program_outline(program.app);
    const auto page =
        man_page(outline, "@VERSION@\n@SYNOPSIS@\n@OPTIONS@\n@COMMANDS@\n@EXIT_STATUS@\n");
    ASSERT_TRUE(page);
    EXPECT_NE(page->find("\\fB\\-o\\fR, \\fB\\-\\-output\\fR \\fIOUT\\fR\n"
                         "where it\\(aqs put: a [file] (required)\n"),
              std::string::npos)
        << *page;
    EXPECT_NE(
        page->find("\\fBsmall\\-one\\fR \\fBact\\fR \\fIFILE\\fR ... \\fB\\-o\\fR \\fIOUT\\fR"),
        std::string::npos);
    EXPECT_FALSE(man_page(outline, "@VERSION@\n@SYNOPSIS@\n@OPTIONS@\n@COMMANDS@\n"));
}

TEST(Completions, QuoteWhatAShellWouldRead) {
    const SmallProgram program;
    const ProgramOutline outline = program_outline(program.app);
    EXPECT_NE(zsh_completion(outline).find(
                  R"('(-o --output)--output[where it'\''s put\: a \[file\]]:OUT:_files')"),
              std::string::npos)
        << zsh_completion(outline);
    EXPECT_NE(
        fish_completion(outline).find(R"(-s o -l output -r -F -d 'where it\'s put: a [file]')"),
        std::string::npos)
        << fish_completion(outline);
    EXPECT_NE(bash_completion(outline).find("act:--kind) words='good very\\ bad' ;;"),
              std::string::npos);
}

}  // namespace
}  // namespace thirstline
