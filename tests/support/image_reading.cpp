#include "tests/support/image_reading.hpp"

#include <fstream>
#include <iterator>
#include <stdexcept>

namespace thirstline::test {

Image Image::of_file(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) throw std::runtime_error("cannot read " + path);
    return Image(std::vector<std::uint8_t>(std::istreambuf_iterator<char>(file), {}));
}

image_in_c& Image::handed_over(const ImageReader& reader) {
    in_c_ = {};
    in_c_.bytes = bytes_.data();
    in_c_.size = static_cast<std::uint32_t>(bytes_.size());
    in_c_.by_callback = reader.by_callback ? 1 : 0;
    in_c_.failing_read = -1;
    return in_c_;
}

int Image::opens(const ImageReader& reader) {
    return reader.in_c->open(&handed_over(reader));
}

int Image::look_up(const ImageReader& reader, LatLonE7 position, std::uint32_t part,
                   told_in_c& told, std::optional<std::int32_t> elevation_m) {
    return reader.in_c->look_up(&handed_over(reader), position.lat_e7, position.lon_e7, part,
                                elevation_m ? &*elevation_m : nullptr, &told);
}

int Image::find_code(const ImageReader& reader, const std::string& code, const char* country,
                     place_in_c& place) {
    return reader.in_c->find_code(&handed_over(reader), code.c_str(), country, &place);
}

int Image::find_typed_code(const ImageReader& reader, const std::string& typed, const char* country,
                           place_in_c& place) {
    return reader.in_c->find_typed_code(&handed_over(reader), typed.c_str(), country, &place);
}

int Image::verify(const ImageReader& reader) {
    return reader.in_c->verify(&handed_over(reader));
}

std::string Image::text(const ImageReader& reader, int& status, std::uint32_t& notice_bytes) {
    std::string all;
    while (true) {
        std::array<char, 100> piece{};
        std::uint32_t copied = 0;
        status = reader.in_c->text(&handed_over(reader), static_cast<std::uint32_t>(all.size()),
                                   piece.data(), piece.size(), &copied, &notice_bytes);
        if (status != THIRSTLINE_IMAGE_OK) return {};
        if (copied == 0) return all;
        all.append(piece.data(), copied);
    }
}

}  // namespace thirstline::test
