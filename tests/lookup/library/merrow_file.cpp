#include "tests/lookup/library/merrow_file.hpp"

#include "tests/support/merrow_database.hpp"

std::string merrow_file_path() {
    static const std::string path = thirstline::test::merrow_database({.stations = true});
    return path;
}
