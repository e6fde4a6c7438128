// Runs all files of the corpora, including earlier findings, and several thousand small changes of
// them.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "tests/fuzz/fuzz_targets.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using Input = std::vector<std::uint8_t>;

struct Target {
    const char* name;
    void (*run)(fuzz::Bytes bytes);
};

#define FUZZ_TARGET(name) Target{#name, fuzz::name},
const std::vector<Target> kTargets{THIRSTLINE_FUZZ_TARGETS};
#undef FUZZ_TARGET

std::vector<Input> corpus_of(const Target& target) {
    std::vector<std::filesystem::path> paths;
    for (const auto& entry :
         std::filesystem::directory_iterator(std::string(THIRSTLINE_FUZZ_CORPUS "/") + target.name))
        paths.push_back(entry.path());
    std::sort(paths.begin(), paths.end());
    std::vector<Input> inputs;
    for (const auto& path : paths) {
        std::ifstream file(path, std::ios::binary);
        inputs.emplace_back(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
    }
    return inputs;
}

/// Replaces, removes and duplicates bytes, and inserts pieces of another input.
Input altered(Input input, const std::vector<Input>& corpus, test::Random& random) {
    for (int change = 0; change < 1 + random.between(0, 3); ++change) {
        const auto size = static_cast<std::int64_t>(input.size());
        const auto at = input.begin() + random.between(0, size);
        const auto end = at + std::min<std::int64_t>(input.end() - at, random.between(0, 16));
        switch (random.between(0, 3)) {
            case 0:
                for (auto byte = at; byte != end; ++byte)
                    *byte = static_cast<std::uint8_t>(random.between(0, 255));
                break;
            case 1:
                input.erase(at, end);
                break;
            case 2: {
                const Input piece(at, end);
                input.insert(at, piece.begin(), piece.end());
                break;
            }
            default: {
                const Input& other = corpus[static_cast<std::size_t>(
                    random.between(0, static_cast<std::int64_t>(corpus.size()) - 1))];
                const auto most = static_cast<std::int64_t>(other.size());
                const auto from = random.between(0, most);
                const auto count = random.between(0, std::min<std::int64_t>(most - from, 64));
                input.insert(at, other.begin() + from, other.begin() + from + count);
            }
        }
    }
    return input;
}

class FuzzReplay : public testing::TestWithParam<Target> {};

TEST_P(FuzzReplay, KeepsItsPromises) {
    constexpr int kAltered = 500;
    const std::vector<Input> corpus = corpus_of(GetParam());
    ASSERT_FALSE(corpus.empty());
    for (const Input& input : corpus) GetParam().run(input);
    test::Random random(1);
    for (int i = 0; i < kAltered; ++i)
        GetParam().run(
            altered(corpus[static_cast<std::size_t>(i) % corpus.size()], corpus, random));
}

INSTANTIATE_TEST_SUITE_P(All, FuzzReplay, testing::ValuesIn(kTargets),
                         [](const auto& target) { return std::string(target.param.name); });

}  // namespace
}  // namespace thirstline
