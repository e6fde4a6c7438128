// How the months of any place change in wet and dry years: the slopes of the stations that have
// years (schema/lawn/year_of_need.hpp), interpolated by the same kriging as the drivers.
//
// Slopes are shares of a month's ETo and rain, which vary less between neighbours than millimetres
// do. The background is their mean over the stations; the stations' differences from it are kriged,
// and fade out with the distance to the nearest one. A station's own slopes have the error of their
// thirty or fewer years, which is in the nugget.
//
// Thread safety: immutable after construction; any number of threads may use it.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "builder/fusion/residual_field.hpp"
#include "builder/fusion/station_places.hpp"
#include "schema/lawn/year_of_need.hpp"

namespace thirstline {

/// The slopes of a place, with their error.
struct SlopesOfPlace {
    YearSlopes slopes;
    /// Standard error of the change of the year's need as a share of it; NaN if the
    /// need does not change.
    double error_share = 0.0;
};

/// Of one station.
struct SlopesAtStation {
    std::size_t place = 0;  ///< the caller's number, for leaving it out
    ResidualSite site;
    YearSlopes slopes;
    int years = 0;
};

class YearFields {
  public:
    /// Without stations: nothing is known anywhere.
    YearFields() = default;
    explicit YearFields(const std::vector<SlopesAtStation>& stations);

    [[nodiscard]] bool has_stations() const { return !fields_.empty(); }

    /// Nothing without stations. ETo and rain of the place's months weigh the errors.
    [[nodiscard]] std::optional<SlopesOfPlace> at(
        const ResidualSite& site, const Monthly<double>& eto_mm, const Monthly<double>& rain_mm,
        const std::optional<LeftOut>& left_out = std::nullopt) const;

  private:
    struct Field {
        Monthly<double> mean{};
        ResidualField residuals;
        double error_factor = 1.0;
    };
    struct Estimate {
        Monthly<double> value{};
        Monthly<double> standard_error{};
    };
    [[nodiscard]] static Field field_of(const std::vector<SlopesAtStation>& stations,
                                        const std::vector<Monthly<double>>& values,
                                        double usual_variance);
    [[nodiscard]] std::optional<Estimate> estimate(std::size_t field, const ResidualSite& site,
                                                   const std::optional<LeftOut>& left_out) const;

    std::vector<Field> fields_;  ///< of ETo, of rain, of the deviate of the normals
};

/// The stations that have years and whose rain is in use.
[[nodiscard]] std::vector<SlopesAtStation> slopes_at_stations(std::span<const Station> stations,
                                                              std::span<const StationPlace> places);

}  // namespace thirstline
