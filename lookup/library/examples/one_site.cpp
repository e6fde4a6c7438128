// The peak month of reference ET at a postal code, in C++.
//
//   one_site_cpp merrow.sqlite 04107
#include <cstdio>
#include <thirstline/thirstline.hpp>

namespace {

int failed(const thirstline::Error& error) {
    std::fprintf(stderr, "%s\n", error.message.c_str());
    for (const std::string& country : error.countries)
        std::fprintf(stderr, "did you mean one in %s?\n", country.c_str());
    return static_cast<int>(error.code);
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 3) {
        std::fprintf(stderr, "usage: one_site_cpp FILE POSTAL-CODE\n");
        return static_cast<int>(thirstline::ErrorCode::usage);
    }
    auto file = thirstline::File::open(argv[1]);
    if (!file) return failed(file.error());
    const auto site = file->site(thirstline::PostalCode{argv[2]});
    if (!site) return failed(site.error());
    if (!site->found) {
        std::fprintf(stderr, "%s\n", site->reason.c_str());
        return static_cast<int>(site->miss);
    }
    const auto baseline = file->baseline();
    if (!baseline) return failed(baseline.error());

    std::printf("%s: ", site->place.c_str());
    if (!site->peak_month) {
        std::printf("no reference ET\n");
    } else {
        const auto& peak = site->months[static_cast<std::size_t>(*site->peak_month - 1)];
        std::printf("peak month %d, %.2f mm/day\n", *site->peak_month,
                    thirstline::rounded(*peak.eto_mm_per_day, 2));
    }
    std::printf("%s\n", baseline->notice.c_str());
    return 0;
}
