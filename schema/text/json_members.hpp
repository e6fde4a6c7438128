// Writes an object's members in turn: a name and a value each.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "schema/geo/lat_lon.hpp"
#include "schema/text/json_writer.hpp"

namespace thirstline {

class Members {
  public:
    explicit Members(JsonWriter& json) : json_(json) {}

    void number(std::string_view name, const std::optional<double>& value, int decimals) {
        json_.name(name);
        json_.number_or_null(value, decimals);
    }
    void text(std::string_view name, std::string_view value) {
        json_.name(name);
        json_.text(value);
    }
    void text_or_null(std::string_view name, const std::optional<std::string>& value) {
        json_.name(name);
        json_.text_or_null(value);
    }
    void integer(std::string_view name, std::int64_t value) {
        json_.name(name);
        json_.integer(value);
    }
    void integer_or_null(std::string_view name, const std::optional<int>& value) {
        json_.name(name);
        value ? json_.integer(*value) : json_.null();
    }
    void boolean(std::string_view name, bool value) {
        json_.name(name);
        json_.boolean(value);
    }
    void position(const std::optional<LatLonE7>& position) {
        json_.name("lat");
        position ? json_.degrees(position->lat_e7) : json_.null();
        json_.name("lon");
        position ? json_.degrees(position->lon_e7) : json_.null();
    }

  private:
    JsonWriter& json_;
};

}  // namespace thirstline
