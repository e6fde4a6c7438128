// The C++ header compiles alone in the newest language version that it is used with.
#include <span>
#include <thirstline/thirstline.hpp>

#include "thirstline/thirstline.hpp"  // twice does no harm

thirstline::Result<std::vector<thirstline::Site>> answers_for_a_span(
    thirstline::File& file, std::span<const thirstline::SiteQuery> queries);
thirstline::Result<std::vector<thirstline::Site>> answers_for_a_span(
    thirstline::File& file, std::span<const thirstline::SiteQuery> queries) {
    return file.sites(queries);
}
