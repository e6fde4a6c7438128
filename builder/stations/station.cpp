#include "builder/stations/station.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace thirstline {

std::string_view record_length_name(RecordLength length) {
    switch (length) {
        case RecordLength::standard_normal:
            return "standard normal";
        case RecordLength::not_stated:
            return "length of record not stated";
        case RecordLength::short_record:
            return "short record";
        case RecordLength::typical_year:
            return "typical year";
    }
    return "";
}

const StationNormals* normals_of(const Station& station, Variable variable) {
    const auto found =
        std::find_if(station.normals.begin(), station.normals.end(),
                     [variable](const StationNormals& n) { return n.variable == variable; });
    return found == station.normals.end() ? nullptr : &*found;
}

StationNormals* normals_of(Station& station, Variable variable) {
    return const_cast<StationNormals*>(normals_of(static_cast<const Station&>(station), variable));
}

const Monthly<double>& values_of(const Station& station, Variable variable) {
    const StationNormals* normals = normals_of(station, variable);
    return normals == nullptr ? kUnknownYear : normals->values;
}

int known_months(const Monthly<double>& values) {
    return static_cast<int>(std::count_if(values.begin(), values.end(),
                                          [](double value) { return !std::isnan(value); }));
}

std::string value_text(Variable variable, double value) {
    if (std::isnan(value)) return "unknown";
    char text[48];
    std::snprintf(text, sizeof text, "%.4g ", value);
    return text + std::string(canonical_unit(variable));
}

}  // namespace thirstline
