// A netCDF file being written: the library's calls, with its errors as values.
//
// Uses the classic format with 64-bit offsets: all netCDF readers support it, and a full disk is an
// ordinary error. (netCDF-4 uses HDF5, which can crash on a full disk.)
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

/// `finish` reports the first call that failed; calls after it do nothing. So a long series of
/// definitions needs no test after each call.
class NetcdfFile {
  public:
    /// Errors call the file `name`; a variable may be larger than 4 GB only in a `large` file.
    NetcdfFile(const std::string& path, std::string name, bool large);
    ~NetcdfFile();
    NetcdfFile(const NetcdfFile&) = delete;
    NetcdfFile& operator=(const NetcdfFile&) = delete;

    int add_dimension(const char* name, std::size_t length);
    int add_double_variable(const char* name, std::span<const int> dimensions);
    /// 16 or 32 bits; `fill` means missing.
    int add_integer_variable(const std::string& name, std::span<const int> dimensions, int bits,
                             std::int32_t fill);
    int add_scalar(const char* name);

    /// An empty text is omitted.
    void set_text(int variable, const char* name, std::string_view text);
    void set_global_text(const char* name, std::string_view text);
    void set_double(int variable, const char* name, double value);
    /// In the variable's own type.
    void set_integers(int variable, const char* name, std::span<const std::int32_t> values);

    void end_definitions();
    void write(int variable, std::span<const double> values);
    void write(int variable, std::span<const std::size_t> start, std::span<const std::size_t> count,
               std::span<const std::int32_t> values);

    /// Errors so far: io.
    [[nodiscard]] Result<void> so_far() const;
    /// Errors: io.
    [[nodiscard]] Result<void> finish();

  private:
    void note(int status);

    std::string name_;
    int file_ = -1;
    int status_ = 0;
};

}  // namespace thirstline
