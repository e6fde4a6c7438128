#include "builder/commands/export_command.hpp"

#include <CLI/App.hpp>

#include "builder/commands/output_paths.hpp"
#include "builder/export/export.hpp"
#include "builder/grids/grid.hpp"
#include "builder/progress/interruption.hpp"
#include "schema/base/words.hpp"
#include "schema/command_line/database_commands.hpp"

namespace thirstline {

namespace {

std::string names_of_formats() {
    std::string names;
    for (const ExportFormat& format : export_formats()) add_word(names, format.name);
    return names;
}

Result<const ExportFormat*> format_named(const std::string& name) {
    for (const ExportFormat& format : export_formats()) {
        if (format.name == name) return &format;
    }
    return fail(ErrorCode::usage,
                "--as cannot be \"" + name + "\"; it is one of " + names_of_formats());
}

}  // namespace

void ExportCommand::declare(CLI::App& app) {
    app.add_option("database", database_, "the database")->type_name("DB")->required();
    app.add_option("--as", format_, names_of_formats())
        ->type_name("FORMAT")
        ->required()
        ->group("Output");
    app.add_option("-o,--output", output_,
                   "the file to write; csv also writes OUT.sources.txt beside it")
        ->type_name("OUT")
        ->required()
        ->group("Output");
    app.add_flag("--overwrite", overwrite_, "replace an existing file")->group("Output");
    app.add_option("--variables", variables_,
                   "these only, such as eto,rain; not for sqlite; default: all; for image: eto, "
                   "rain and their standard errors")
        ->delimiter(',')
        ->type_name("LIST")
        ->group("Output");
    app.add_option("--lattice", lattice_id_,
                   "this lattice only; geotiff and netcdf hold one; not for sqlite")
        ->check(CLI::Range(1, 4095))
        ->type_name("ID")
        ->group("Output");
    app.add_option("--bbox", selection_.box,
                   "this box, in degrees; west may lie east of east, across the antimeridian")
        ->type_name("W,S,E,N")
        ->group("Selection: all that is given must hold");
    app.add_option("--postal", selection_.postal_file,
                   "the points that answer for these postal codes: one a line, or a table with a "
                   "header postal,country")
        ->type_name("FILE")
        ->group("Selection: all that is given must hold");
    app.add_option("--region", selection_.region_file,
                   "what lies in these polygons, in any vector format and coordinate system")
        ->type_name("FILE")
        ->group("Selection: all that is given must hold");
    app.footer(
        "sqlite and image also keep what surrounds the selection, so that every site in it is\n"
        "answered as by the whole database; beyond it, answers differ. The others hold the points\n"
        "within the selection. Every format carries the sources, their terms and the notice: in "
        "the\n"
        "csv's OUT.sources.txt, in the metadata of the others. An image is for firmware and apps\n"
        "without SQLite; lookup/embedded/image.h reads it.\n\n" +
        help_footer({"thirstline-builder export merrow.sqlite --as csv -o merrow.csv",
                     "thirstline-builder export merrow.sqlite --as image -o merrow.img",
                     "thirstline-builder export merrow.sqlite --as geotiff -o eto.tif --variables "
                     "eto",
                     "thirstline-builder export merrow.sqlite --as sqlite -o east.sqlite --bbox "
                     "-37.9,44,-37,45"}));
}

Result<Outcome> ExportCommand::run(const Environment& environment, TextSink& /*out*/) {
    const auto format = TRY(format_named(format_));
    const std::string side_file = side_file_of(*format, output_);
    for (const Result<void>& allowed :
         {refuse_existing(output_, overwrite_),
          side_file.empty() ? Result<void>() : refuse_existing(side_file, overwrite_),
          refuse_same_file(output_, database_), refuse_same_file(output_, selection_.postal_file),
          refuse_same_file(output_, selection_.region_file), refuse_same_file(output_, side_file),
          refuse_same_file(side_file, database_),
          refuse_same_file(side_file, selection_.postal_file),
          refuse_same_file(side_file, selection_.region_file)}) {
        if (!allowed) return fail(allowed.error());
    }
    const auto database = TRY(open_database(database_, environment));
    ExportOptions options{output_, selection_, variables_, std::nullopt};
    if (lattice_id_ > 0) options.lattice_id = lattice_id_;
    set_up_gdal();
    TRY(run_export(*database, *format, options, watch_for_interruption()));
    return Outcome::done;
}

}  // namespace thirstline
