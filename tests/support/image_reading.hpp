// Reads images as firmware and apps do: as one piece of memory or through a callback, with the
// usual build of the reader, the small one, or the one with short rows.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "lookup/embedded/image.h"
#include "schema/geo/lat_lon.hpp"
#include "tests/support/image_in_c.h"

namespace thirstline::test {

/// The reader's functions in one of its builds: see image_in_c.h.
struct ReaderInC {
    decltype(&image_in_c_open) open;
    decltype(&image_in_c_look_up) look_up;
    decltype(&image_in_c_find_code) find_code;
    decltype(&image_in_c_find_typed_code) find_typed_code;
    decltype(&image_in_c_verify) verify;
    decltype(&image_in_c_text) text;
};
inline constexpr ReaderInC kUsualReader{image_in_c_open,      image_in_c_look_up,
                                        image_in_c_find_code, image_in_c_find_typed_code,
                                        image_in_c_verify,    image_in_c_text};
inline constexpr ReaderInC kSmallReader{
    small_image_in_c_open,      small_image_in_c_look_up,
    small_image_in_c_find_code, small_image_in_c_find_typed_code,
    small_image_in_c_verify,    small_image_in_c_text};
inline constexpr ReaderInC kNarrowReader{
    narrow_image_in_c_open,      narrow_image_in_c_look_up,
    narrow_image_in_c_find_code, narrow_image_in_c_find_typed_code,
    narrow_image_in_c_verify,    narrow_image_in_c_text};

struct ImageReader {
    const char* name;
    const ReaderInC* in_c;
    bool by_callback = false;
};
inline constexpr std::array<ImageReader, 5> kImageReaders{
    {{"memory", &kUsualReader, false},
     {"callback", &kUsualReader, true},
     {"small, memory", &kSmallReader, false},
     {"small, callback", &kSmallReader, true},
     {"narrow, memory", &kNarrowReader, false}}};

/// Bytes on the heap, in a block of exactly their size.
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
                              told_in_c& told, std::optional<std::int32_t> elevation_m = {});
    [[nodiscard]] int find_code(const ImageReader& reader, const std::string& code,
                                const char* country, place_in_c& place);
    [[nodiscard]] int find_typed_code(const ImageReader& reader, const std::string& typed,
                                      const char* country, place_in_c& place);
    [[nodiscard]] int verify(const ImageReader& reader);
    /// The whole text; empty, with the status, if it cannot be read.
    [[nodiscard]] std::string text(const ImageReader& reader, int& status,
                                   std::uint32_t& notice_bytes);

    /// The traffic of the last call.
    [[nodiscard]] const image_in_c& traffic() const { return in_c_; }

  private:
    image_in_c& handed_over(const ImageReader& reader);

    std::vector<std::uint8_t> bytes_;
    image_in_c in_c_{};
};

}  // namespace thirstline::test
