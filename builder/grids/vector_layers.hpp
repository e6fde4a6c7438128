// Vector files as GDAL reads them, in longitude and latitude.
#pragma once

#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <memory>
#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

struct TransformationDeleter {
    void operator()(OGRCoordinateTransformation* transformation) const {
        OGRCoordinateTransformation::DestroyCT(transformation);
    }
};
using Transformation = std::unique_ptr<OGRCoordinateTransformation, TransformationDeleter>;

/// WGS 84, longitude first.
[[nodiscard]] OGRSpatialReference longitude_latitude();

/// `what` is the file's part in messages: "the region". Errors: io if it cannot be opened;
/// bad_input for a pipe, or a format that is not supported.
[[nodiscard]] Result<GDALDatasetUniquePtr> opened_vector_file(const std::string& path,
                                                              const std::string& what);

/// From the layer's coordinate system; TopoJSON, whose format has none, is in WGS 84 like GeoJSON.
/// Errors (bad_input): a layer without a system, or with one that cannot be converted.
[[nodiscard]] Result<Transformation> to_longitude_latitude(GDALDataset& file, OGRLayer& layer,
                                                           const std::string& path);

}  // namespace thirstline
