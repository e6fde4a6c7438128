// How time grows with the size of hostile input: unclosed quotes, and sources with rejections.
// Google Benchmark prints the fitted order; both must be linear.
#include <benchmark/benchmark.h>

#include <string>

#include "schema/database/database.hpp"
#include "schema/files/csv_rows.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

void rows_with_unclosed_quotes(benchmark::State& state) {
    std::string text;
    for (std::int64_t i = 0; i < state.range(0); ++i) text += "\"a\n";
    const std::string path = test::file_in_test_folder("unclosed.csv", text);
    for (auto _ : state) {
        auto reader = CsvReader::open(path);
        CsvRow row;
        while (reader->next(row).value()) benchmark::DoNotOptimize(row.size());
    }
    state.SetComplexityN(state.range(0));
}
BENCHMARK(rows_with_unclosed_quotes)->Range(4'000, 256'000)->Complexity();

void sources_with_a_rejection_each(benchmark::State& state) {
    const std::string path = test::merrow_database();
    test::run_on_file(path,
                      "WITH RECURSIVE n(i) AS (SELECT 10 UNION ALL SELECT i + 1 FROM n WHERE i < " +
                          std::to_string(state.range(0)) +
                          ") INSERT INTO source SELECT i, 'a', 'rain', '', '', '', '', 0 FROM n;"
                          "INSERT INTO source_rejection SELECT source_id, 'rule', 1 FROM source");
    test::seal(path);
    const auto database = Database::open(path);
    for (auto _ : state) benchmark::DoNotOptimize((*database)->sources());
    state.SetComplexityN(state.range(0));
}
BENCHMARK(sources_with_a_rejection_each)->Range(4'000, 64'000)->Complexity();

}  // namespace
}  // namespace thirstline

BENCHMARK_MAIN();
