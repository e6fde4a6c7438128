#include "schema/command_line/command.hpp"

#include <CLI/App.hpp>

namespace thirstline {

void declare_database_option(CLI::App& app, std::string& path) {
    app.add_option("--db", path, "database file; default: environment variable THIRSTLINE_DB")
        ->type_name("FILE")
        ->group("Database");
}

std::string help_footer(std::initializer_list<std::string_view> examples) {
    std::string out = "Examples:\n";
    for (const std::string_view example : examples) out += "  " + std::string(example) + "\n";
    return out +
           "\nExit codes:\n"
           "  0 done    1 no data at the site     2 usage    3 bad input data\n"
           "  4 database damaged or of an unsupported version\n"
           "  5 input or output failed    70 internal error    130 interrupted";
}

}  // namespace thirstline
