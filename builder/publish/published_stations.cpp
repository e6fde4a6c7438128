#include "builder/publish/published_stations.hpp"

#include "builder/export/exact_decimals.hpp"
#include "schema/files/csv_rows.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

std::string station_table_csv(const std::vector<StationRecord>& stations) {
    std::string table = "name,country,lat,lon,elevation_m,variables,period,source\r\n";
    for (const StationRecord& station : stations) {
        append_csv_field(table, plain_text(station.name));
        table += ',';
        append_csv_field(table, plain_text(station.country));
        table += ',';
        append_position(table, station.position, ",");
        table += ',' + std::to_string(station.elevation_m) + ',';
        append_csv_field(table, plain_text(station.variables));
        table += ',';
        append_csv_field(table, plain_text(station.period));
        table += ',';
        append_csv_field(table, plain_text(station.source));
        table += "\r\n";
    }
    return table;
}

}  // namespace thirstline
