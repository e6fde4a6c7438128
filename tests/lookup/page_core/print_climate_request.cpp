// Prints the climate lines of a request for the page's core, for a place in a file:
//
//   print_climate_request FILE.sqlite LAT,LON [ELEVATION_M]
#include <cstdio>

#include "schema/database/database.hpp"
#include "schema/geo/coordinates.hpp"
#include "schema/text/plain_numbers.hpp"
#include "tests/support/climate_request.hpp"

namespace thirstline {
namespace {

Result<std::string> request_of(int argc, const char* const* argv) {
    if (argc < 3) return fail(ErrorCode::usage, "a file and a place are wanted");
    const auto position = parse_position(argv[2]);
    if (!position) return fail(position.error());
    std::optional<std::int32_t> elevation_m;
    if (argc > 3) {
        const auto elevation = parse_elevation_m(argv[3]);
        if (!elevation) return fail(elevation.error());
        elevation_m = *elevation;
    }
    const auto database = Database::open(argv[1]);
    if (!database) return fail(database.error());
    const auto answer = (*database)->answer(*position, elevation_m);
    if (!answer) return fail(answer.error());
    if (!answer->found) return fail(ErrorCode::no_data, "the file has no data there");
    return test::climate_request(*answer, (*database)->layout());
}

}  // namespace
}  // namespace thirstline

int main(int argc, char** argv) {
    const auto request = thirstline::request_of(argc, argv);
    if (!request) {
        std::fprintf(stderr, "%s\n", request.error().message.c_str());
        return thirstline::exit_status(request.error().code);
    }
    std::fputs(request->c_str(), stdout);
    return 0;
}
