#include "tests/support/export_runs.hpp"

#include <gtest/gtest.h>

#include <stdexcept>

#include "builder/grids/grid.hpp"
#include "schema/database/database_report.hpp"

namespace thirstline::test {

Result<void> exported(const std::string& database, std::string_view format,
                      const ExportOptions& options) {
    static const bool is_set_up = [] {
        set_up_gdal();
        return true;
    }();
    static const std::atomic<bool> never{!is_set_up};
    for (const ExportFormat& candidate : export_formats()) {
        if (candidate.name == format)
            return run_export(*opened(database), candidate, options, never);
    }
    return fail(ErrorCode::internal, "there is no format " + std::string(format));
}

std::unique_ptr<Database> opened(const std::string& path) {
    auto database = Database::open(path);
    if (!database) throw std::runtime_error(database.error().message);
    return std::move(*database);
}

void expect_whole(const std::string& path) {
    const auto verified = verify_database(*opened(path));
    EXPECT_TRUE(verified) << verified.error().message;
}

std::string answer_text(Database& database, LatLonE7 site) {
    const auto answer = database.answer(site);
    if (!answer) return answer.error().message;
    if (!answer->found) return "nothing within " + std::to_string(answer->reach_m);
    std::string text =
        (answer->interpolated ? "interpolated " : "nearest ") + std::to_string(answer->lattice_id) +
        " " + std::to_string(answer->at.lat_e7) + " " + std::to_string(answer->at.lon_e7) + " " +
        std::to_string(answer->distance_m) + " period " + std::to_string(answer->period);
    for (const Layer& layer : database.layout().layers) {
        text += "\n" + std::string(layer.name);
        for (const std::int32_t value : answer->of(layer.id)) text += " " + std::to_string(value);
    }
    text += "\nmethod";
    for (const std::uint16_t code : answer->method) text += " " + std::to_string(code);
    const auto adjusted = database.answer(site, 1'234);
    if (!adjusted) return adjusted.error().message;
    for (const LayerId id : {LayerId::eto, LayerId::rain}) {
        text += "\ncarried";
        for (const std::int32_t value : adjusted->of(id)) text += " " + std::to_string(value);
    }
    return text;
}

}  // namespace thirstline::test
