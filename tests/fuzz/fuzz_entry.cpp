// The entry of one libFuzzer program: THIRSTLINE_FUZZ_TARGET names the function.
#include <cstddef>

#include "tests/fuzz/fuzz_targets.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    thirstline::fuzz::THIRSTLINE_FUZZ_TARGET({data, size});
    return 0;
}
