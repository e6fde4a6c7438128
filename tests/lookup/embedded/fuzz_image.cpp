// Opens arbitrary bytes as an image and calls every function, with all checksums accepted: for
// libFuzzer, and as a program that replays its findings.
//
//     fuzz_image CORPUS_FOLDER -max_total_time=3600
//
// The last 16 bytes are the question: a position, and a code of up to 8 letters.
#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <memory>

#include "lookup/embedded/image.h"

namespace {

constexpr std::size_t kQuestionBytes = 16;

struct Memory {
    const std::uint8_t* bytes;
    std::uint32_t size;
};

int bring(void* context, std::uint32_t offset, std::uint8_t* into, std::uint32_t count) {
    const auto& memory = *static_cast<const Memory*>(context);
    if (offset > memory.size || count > memory.size - offset) std::abort();  // it strayed
    std::memcpy(into, memory.bytes + offset, count);
    return 1;
}

/// What must be the same whichever way the bytes come.
struct Said {
    int status[12] = {};
    thirstline_image_answer answers[4] = {};
    thirstline_image_answer at_elevation[3] = {};
};

void ask(const thirstline_image& image, const std::uint8_t* question, Said& said) {
    thirstline_position_e7 position{};
    std::memcpy(&position.lat_e7, question, 4);
    std::memcpy(&position.lon_e7, question + 4, 4);
    position.lat_e7 %= 900'000'001;
    position.lon_e7 = position.lon_e7 % 1'800'000'000;
    for (std::uint32_t part = 0; part < 4; ++part)
        said.status[part] = thirstline_image_look_up(&image, position, part, &said.answers[part]);
    for (std::uint32_t part = 0; part < 3; ++part)
        said.status[9 + part] = thirstline_image_look_up_at_elevation(
            &image, position, position.lat_e7 % 10'000, part, &said.at_elevation[part]);
    char code[9] = {};
    std::memcpy(code, question + 8, 8);
    thirstline_image_postal_place place{};
    said.status[4] = thirstline_image_find_code(&image, code, nullptr, &place);
    if (said.status[4] == THIRSTLINE_IMAGE_OK)
        said.status[5] = thirstline_image_look_up(&image, position, 0, &said.answers[0]);
    said.status[7] = thirstline_image_verify(&image);
    said.status[8] = thirstline_image_find_typed_code(&image, code, nullptr, &place);
    char text[64];
    std::uint32_t copied = 0;
    for (std::uint32_t at = 0; at < image.text_bytes && at < 4096; at += copied) {
        said.status[6] = thirstline_image_text(&image, at, text, sizeof text, &copied);
        if (said.status[6] != THIRSTLINE_IMAGE_OK || copied == 0) break;
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < kQuestionBytes) return 0;
    const std::uint8_t* question = data + size - kQuestionBytes;
    size -= kQuestionBytes;
    // Of its exact size, so that the sanitiser sees a touch beyond; and its own length in it.
    const auto bytes = std::make_unique<std::uint8_t[]>(size);
    std::copy_n(data, size, bytes.get());
    for (std::size_t at = 0; at < 4 && size >= 16; ++at)
        bytes[12 + at] = static_cast<std::uint8_t>(size >> 8 * at);

    thirstline_image image;
    thirstline_image_source source{};
    source.memory = bytes.get();
    source.size = static_cast<std::uint32_t>(size);
    const int opened = thirstline_image_open(&image, &source);
    Said from_memory;
    if (opened == THIRSTLINE_IMAGE_OK) ask(image, question, from_memory);

    Memory memory{bytes.get(), static_cast<std::uint32_t>(size)};
    const auto buffer = std::make_unique<std::uint8_t[]>(70'000);
    source = {};
    source.size = memory.size;
    source.read = bring;
    source.context = &memory;
    source.buffer = buffer.get();
    source.buffer_bytes = 70'000;
    if (thirstline_image_open(&image, &source) != opened) std::abort();
    if (opened != THIRSTLINE_IMAGE_OK) return 0;
    Said through_callback;
    ask(image, question, through_callback);
    for (int part = 0; part < 4; ++part) {
        // In memory a tile at the very end may lack the bytes that are looked at past it.
        if (from_memory.status[part] == THIRSTLINE_IMAGE_DAMAGED) continue;
        if (through_callback.status[part] != from_memory.status[part]) std::abort();
        if (from_memory.status[part] != THIRSTLINE_IMAGE_OK) continue;
        for (std::uint32_t value = 0; value < 12U * from_memory.answers[part].layer_count;
             ++value) {
            if (thirstline_image_value(&from_memory.answers[part], value / 12, value % 12) !=
                thirstline_image_value(&through_callback.answers[part], value / 12, value % 12))
                std::abort();
        }
    }
    return 0;
}

#ifdef THIRSTLINE_REPLAYS

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <vector>

int main(int count, char** words) {
    int replayed = 0;
    for (int i = 1; i < count; ++i) {
        for (const auto& entry : std::filesystem::directory_iterator(words[i])) {
            std::ifstream file(entry.path(), std::ios::binary);
            const std::vector<std::uint8_t> bytes(std::istreambuf_iterator<char>(file), {});
            LLVMFuzzerTestOneInput(bytes.data(), bytes.size());
            ++replayed;
        }
    }
    std::printf("%d files\n", replayed);
    return replayed > 0 ? 0 : 1;
}

#endif
