#include "builder/commands/export_command.hpp"

#include <CLI/App.hpp>
#include <algorithm>

#include "builder/commands/output_paths.hpp"
#include "builder/export/export.hpp"
#include "builder/grids/grid.hpp"
#include "builder/progress/interruption.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/option_values.hpp"

namespace thirstline {

namespace {

constexpr int kMaxLatticeId = 4095;

std::vector<std::string_view> names_of_formats() {
    std::vector<std::string_view> names;
    for (const ExportFormat& format : export_formats()) names.push_back(format.name);
    return names;
}

/// The name was checked when the arguments were read.
const ExportFormat& format_named(const std::string& name) {
    return *std::ranges::find(export_formats(), name, &ExportFormat::name);
}

}  // namespace

void ExportCommand::declare(CLI::App& app) {
    app.add_option("database", database_, "the database")->type_name("DB")->required();
    add_word_option(app, format_, {"--as", names_of_formats(), "", "FORMAT", "Output"})->required();
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
    require_number(*app.add_option("--lattice", lattice_id_,
                                   "this lattice only; geotiff and netcdf hold one; not for sqlite")
                        ->type_name("ID")
                        ->group("Output"),
                   1, kMaxLatticeId);
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
    const ExportFormat& format = format_named(format_);
    const std::string side_file = side_file_of(format, output_);
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
    TRY(run_export(*database, format, options, watch_for_interruption()));
    return Outcome::done;
}

}  // namespace thirstline
