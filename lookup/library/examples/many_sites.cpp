// A table of several sites, in C++: all at once, with one thread per core. Input and output are
// those of many_sites.c.
//
//   many_sites_cpp merrow.sqlite < sites.txt > table.csv
#include <cstdio>
#include <iostream>
#include <string>
#include <thirstline/thirstline.hpp>
#include <vector>

namespace {

using thirstline::Month;
using thirstline::Site;

thirstline::SiteQuery query_of(const std::string& line) {
    thirstline::LatLon at;
    int elevation_m = 0;
    const int numbers =
        std::sscanf(line.c_str(), "%lf,%lf,%d", &at.lat_deg, &at.lon_deg, &elevation_m);
    if (numbers == 2) return {at, std::nullopt};
    if (numbers == 3) return {at, elevation_m};
    const std::size_t comma = line.find(',');
    const std::string country = comma == std::string::npos ? "" : line.substr(comma + 1);
    return {thirstline::PostalCode{line.substr(0, comma), country}, std::nullopt};
}

void print_number(std::optional<double> value, int decimals) {
    std::putchar(',');
    if (value) std::printf("%.*f", decimals, thirstline::rounded(*value, decimals));
}

void print_site(const Site& site) {
    if (!site.found) {
        std::printf("false,%s\n", site.reason.c_str());
        return;
    }
    std::printf("true");
    print_number(site.data_elevation_m, 1);
    print_number(site.distance_km, 3);
    std::printf(",%s,%d", site.method.c_str(), site.peak_month.value_or(0));
    for (const auto value : {&Month::eto_mm, &Month::rain_mm, &Month::eto_se_mm, &Month::rain_se_mm,
                             &Month::tmax_c, &Month::tmin_c}) {
        for (const Month& month : site.months) print_number(month.*value, 1);
    }
    std::putchar('\n');
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "usage: many_sites_cpp FILE < sites.txt\n");
        return static_cast<int>(thirstline::ErrorCode::usage);
    }
    auto file = thirstline::File::open(argv[1]);
    if (!file) {
        std::fprintf(stderr, "%s\n", file.error().message.c_str());
        return static_cast<int>(file.error().code);
    }
    std::vector<thirstline::SiteQuery> queries;
    for (std::string line; std::getline(std::cin, line);) queries.push_back(query_of(line));
    const auto sites = file->sites(queries, 0);
    if (!sites) {
        std::fprintf(stderr, "%s\n", sites.error().message.c_str());
        return static_cast<int>(sites.error().code);
    }
    for (const Site& site : *sites) print_site(site);
    return 0;
}
