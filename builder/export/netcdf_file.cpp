#include "builder/export/netcdf_file.hpp"

#include <netcdf.h>

#include <cerrno>

namespace thirstline {

NetcdfFile::NetcdfFile(const std::string& path, std::string name, bool large)
    : name_(std::move(name)) {
    note(nc_create(path.c_str(), NC_CLOBBER | (large ? NC_64BIT_DATA : NC_64BIT_OFFSET), &file_));
    if (status_ != NC_NOERR) file_ = -1;
    // All values are written, so filling is not needed.
    if (status_ == NC_NOERR) note(nc_set_fill(file_, NC_NOFILL, nullptr));
}

NetcdfFile::~NetcdfFile() {
    if (file_ >= 0) nc_abort(file_);
}

void NetcdfFile::note(int status) {
    if (status_ == NC_NOERR) status_ = status;
}

int NetcdfFile::add_dimension(const char* name, std::size_t length) {
    int id = -1;
    if (status_ == NC_NOERR) note(nc_def_dim(file_, name, length, &id));
    return id;
}

int NetcdfFile::add_double_variable(const char* name, std::span<const int> dimensions) {
    int id = -1;
    if (status_ == NC_NOERR) {
        note(nc_def_var(file_, name, NC_DOUBLE, static_cast<int>(dimensions.size()),
                        dimensions.data(), &id));
    }
    return id;
}

int NetcdfFile::add_integer_variable(const std::string& name, std::span<const int> dimensions,
                                     int bits, std::int32_t fill) {
    int id = -1;
    const nc_type type = bits == 16 ? NC_SHORT : NC_INT;
    if (status_ == NC_NOERR) {
        note(nc_def_var(file_, name.c_str(), type, static_cast<int>(dimensions.size()),
                        dimensions.data(), &id));
    }
    if (status_ == NC_NOERR) note(nc_put_att_int(file_, id, "_FillValue", type, 1, &fill));
    return id;
}

int NetcdfFile::add_scalar(const char* name) {
    int id = -1;
    if (status_ == NC_NOERR) note(nc_def_var(file_, name, NC_INT, 0, nullptr, &id));
    return id;
}

void NetcdfFile::set_text(int variable, const char* name, std::string_view text) {
    if (status_ != NC_NOERR || text.empty()) return;
    note(nc_put_att_text(file_, variable, name, text.size(), text.data()));
}

void NetcdfFile::set_global_text(const char* name, std::string_view text) {
    set_text(NC_GLOBAL, name, text);
}

void NetcdfFile::set_double(int variable, const char* name, double value) {
    if (status_ == NC_NOERR) note(nc_put_att_double(file_, variable, name, NC_DOUBLE, 1, &value));
}

void NetcdfFile::set_integers(int variable, const char* name,
                              std::span<const std::int32_t> values) {
    nc_type type = NC_INT;
    if (status_ == NC_NOERR) note(nc_inq_vartype(file_, variable, &type));
    if (status_ == NC_NOERR)
        note(nc_put_att_int(file_, variable, name, type, values.size(), values.data()));
}

void NetcdfFile::end_definitions() {
    if (status_ == NC_NOERR) note(nc_enddef(file_));
}

void NetcdfFile::write(int variable, std::span<const double> values) {
    if (status_ == NC_NOERR) note(nc_put_var_double(file_, variable, values.data()));
}

void NetcdfFile::write(int variable, std::span<const std::size_t> start,
                       std::span<const std::size_t> count, std::span<const std::int32_t> values) {
    if (status_ != NC_NOERR) return;
    note(nc_put_vara_int(file_, variable, start.data(), count.data(), values.data()));
}

Result<void> NetcdfFile::so_far() const {
    if (status_ == NC_NOERR) return {};
    return fail(ErrorCode::io, "writing " + name_ + " failed: " + nc_strerror(status_));
}

Result<void> NetcdfFile::finish() {
    const int file = std::exchange(file_, -1);
    if (file >= 0) note(nc_close(file));
    return so_far();
}

}  // namespace thirstline
