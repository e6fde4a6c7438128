// Images read in the ways that firmware and apps read them: as one piece of memory or through a
// callback, by the usual build of the reader or by the small one.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "lookup/embedded/image.h"
#include "schema/lat_lon.hpp"
#include "tests/embedded/image_in_c.h"

namespace thirstline::test {

struct ImageReader {
    const char* name;
    bool is_small = false;
    bool by_callback = false;
};
inline constexpr std::array<ImageReader, 4> kImageReaders{{{"memory", false, false},
                                                           {"callback", false, true},
                                                           {"small, memory", true, false},
                                                           {"small, callback", true, true}}};

/// Bytes on the heap, exactly as many as there are.
class Image {
  public:
    explicit Image(std::vector<std::uint8_t> bytes) : bytes_(std::move(bytes)) {
        bytes_.shrink_to_fit();
    }
    /// Throws if the file cannot be read.
    [[nodiscard]] static Image of_file(const std::string& path);

    [[nodiscard]] std::vector<std::uint8_t>& bytes() { return bytes_; }

    [[nodiscard]] int opens(const ImageReader& reader);
    [[nodiscard]] int look_up(const ImageReader& reader, LatLonE7 position, std::uint32_t part,
                              told_in_c& told);
    [[nodiscard]] int find_code(const ImageReader& reader, const std::string& code,
                                const char* country, place_in_c& place);
    /// The whole text; empty, with the status, where it cannot be read.
    [[nodiscard]] std::string text(const ImageReader& reader, int& status,
                                   std::uint32_t& notice_bytes);

    /// Of the last call.
    [[nodiscard]] const image_in_c& traffic() const { return in_c_; }

  private:
    image_in_c& handed_over(const ImageReader& reader);

    std::vector<std::uint8_t> bytes_;
    image_in_c in_c_{};
};

}  // namespace thirstline::test
