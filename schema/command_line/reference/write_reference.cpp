#include "schema/command_line/reference/write_reference.hpp"

#include <CLI/App.hpp>
#include <cstdio>
#include <string>

#include "schema/command_line/reference/man_page.hpp"
#include "schema/command_line/reference/program_outline.hpp"
#include "schema/command_line/reference/shell_completions.hpp"
#include "schema/files/whole_file.hpp"

namespace thirstline {

namespace {

Result<void> write_reference(const CLI::App& app, const std::string& folder,
                             const std::string& frame_path) {
    const ProgramOutline outline = program_outline(app);
    const auto frame = TRY(text_of_file(frame_path, frame_path));
    const auto page = TRY(man_page(outline, frame));
    const std::string start = folder + "/" + outline.name;
    TRY(write_whole_file(start + ".1", page));
    TRY(write_whole_file(start + ".bash", bash_completion(outline)));
    TRY(write_whole_file(folder + "/_" + outline.name, zsh_completion(outline)));
    return write_whole_file(start + ".fish", fish_completion(outline));
}

}  // namespace

int reference_status(const ProgramText& text, std::span<Command* const> commands, int argc,
                     const char* const* argv) {
    if (argc != 3) {
        std::fprintf(stderr, "usage: %s FOLDER FRAME\n", argv[0]);
        return exit_status(ErrorCode::usage);
    }
    CLI::App app;
    std::string database;
    declare_program(app, text, commands, database);
    const auto written = write_reference(app, argv[1], argv[2]);
    if (written) return 0;
    std::fprintf(stderr, "%s: %s\n", argv[0], written.error().message.c_str());
    return exit_status(written.error().code);
}

}  // namespace thirstline
