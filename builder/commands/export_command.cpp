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
constexpr int kMinPageBytes = 64;
constexpr int kMaxPageBytes = 65536;

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
    app.add_option("database", database_, "database file")->type_name("DB")->required();
    add_word_option(app, format_,
                    {"--as", "format of the export: ", names_of_formats(), "", "FORMAT", "Output"})
        ->required();
    app.add_option("-o,--output", output_,
                   "file to write; csv also writes OUT.sources.txt beside it")
        ->type_name("OUT")
        ->required()
        ->group("Output");
    app.add_flag("--overwrite", overwrite_, "replace an existing file")->group("Output");
    app.add_option("--variables", variables_,
                   "variables to export, such as eto,rain; default: all (image: eto, rain and "
                   "their standard errors). Of geotiff and netcdf eto_mm, eto_se_mm and "
                   "rain_minus_eto are in mm a month; eto and eto_se, in mm a day, must be named. "
                   "Not for sqlite")
        ->delimiter(',')
        ->type_name("LIST")
        ->group("Output");
    require_number(*app.add_option("--lattice", lattice_id_,
                                   "lattice to export; geotiff and netcdf hold one; not for sqlite")
                        ->type_name("ID")
                        ->group("Output"),
                   1, kMaxLatticeId);
    require_number(*app.add_option("--page-bytes", page_bytes_,
                                   "image: begin every 128 tiles at a multiple of N bytes, such "
                                   "as 4096, so that an update changes few pages of flash memory; "
                                   "default: no gaps")
                        ->type_name("N")
                        ->group("Output"),
                   kMinPageBytes, kMaxPageBytes);
    app.add_flag("--gradients", with_gradients_,
                 "image: also the elevation, and how values change with it, so that a reader can "
                 "adjust them to a site's own elevation")
        ->group("Output");
    app.add_option("--bbox", selection_.box,
                   "box in degrees; with west greater than east it crosses the antimeridian")
        ->type_name("W,S,E,N")
        ->group("Selection (all conditions apply)");
    app.add_option("--postal", selection_.postal_file,
                   "points used for these postal codes: one per line, or a table with the header "
                   "postal,country")
        ->type_name("FILE")
        ->group("Selection (all conditions apply)");
    app.add_option("--region", selection_.region_file,
                   "points in these polygons; any vector format and coordinate system")
        ->type_name("FILE")
        ->group("Selection (all conditions apply)");
    app.footer(
        "sqlite and image also keep the points around the selection, so that sites in it get the\n"
        "same answers as from the whole database; outside it, answers differ. The other formats\n"
        "hold only the points in the selection. Every format includes the sources, their terms\n"
        "and the notice: csv in OUT.sources.txt, the others in their metadata. An image is for\n"
        "firmware and apps without SQLite; lookup/embedded/image.h reads it.\n\n" +
        help_footer({"thirstline-builder export merrow.sqlite --as csv -o merrow.csv",
                     "thirstline-builder export merrow.sqlite --as image -o merrow.img",
                     "thirstline-builder export merrow.sqlite --as geotiff -o balance.tif "
                     "--variables eto_mm,rain_minus_eto",
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
    ExportOptions options{output_,      selection_,  variables_,
                          std::nullopt, page_bytes_, with_gradients_};
    if (lattice_id_ > 0) options.lattice_id = lattice_id_;
    set_up_gdal();
    TRY(run_export(*database, format, options, watch_for_interruption()));
    return Outcome::done;
}

}  // namespace thirstline
