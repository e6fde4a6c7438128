// A netCDF file being written: the library's calls, with its errors as values.
//
// Of the classic format, with 64-bit offsets: every reader of netCDF knows it, and a full disk is
// an error like any other. (Beneath netCDF-4 lies HDF5, which a full disk can bring to crash.)
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

/// The first call that fails decides what `finish` says; those after it do nothing. So a long row
/// of definitions can be written down without a test after each.
class NetcdfFile {
  public:
    /// `name` is what errors call it; a variable may be larger than 4 GB only in a `large` file.
    NetcdfFile(const std::string& path, std::string name, bool large);
    ~NetcdfFile();
    NetcdfFile(const NetcdfFile&) = delete;
    NetcdfFile& operator=(const NetcdfFile&) = delete;

    int add_dimension(const char* name, std::size_t length);
    int add_double_variable(const char* name, std::span<const int> dimensions);
    /// Of 16 bits or 32; `fill` stands for what is missing.
    int add_integer_variable(const std::string& name, std::span<const int> dimensions, int bits,
                             std::int32_t fill);
    int add_scalar(const char* name);

    /// An empty text is left out.
    void set_text(int variable, const char* name, std::string_view text);
    void set_global_text(const char* name, std::string_view text);
    void set_double(int variable, const char* name, double value);
    /// Of the variable's own type.
    void set_integers(int variable, const char* name, std::span<const std::int32_t> values);

    void end_definitions();
    void write(int variable, std::span<const double> values);
    void write(int variable, std::span<const std::size_t> start, std::span<const std::size_t> count,
               std::span<const std::int32_t> values);

    /// What has gone wrong so far. Errors: io.
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
