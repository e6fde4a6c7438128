/* A table of several sites, in C: one after another.
 *
 *   many_sites_c merrow.sqlite < sites.txt > table.csv
 *
 * An input line is a position "44.61,-37.55", a position with the site's elevation
 * "44.61,-37.55,520", or a postal code "04107" or "04107,XM". An output line has: found, elevation
 * of the data in m, distance in km, method, peak month, then ETo in mm, rain in mm, both standard
 * errors, Tmax and Tmin in degrees Celsius, twelve of each; empty where not known. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <thirstline/thirstline.h>

static void print_number(double value, int decimals) {
    putchar(',');
    if (!isnan(value)) printf("%.*f", decimals, thirstline_rounded(value, decimals));
}

static void print_year(const double* values) {
    for (int month = 0; month < 12; ++month) print_number(values[month], 1);
}

static void print_site(const thirstline_site* site) {
    if (site->status != THIRSTLINE_OK) {
        printf("false,%s\n", site->reason);
        return;
    }
    printf("true");
    print_number(site->data_elevation_m, 1);
    print_number(site->distance_m / 1000.0, 3);
    printf(",%s,%d", site->method, (int)site->peak_month);
    print_year(site->eto_mm);
    print_year(site->rain_mm);
    print_year(site->eto_se_mm);
    print_year(site->rain_se_mm);
    print_year(site->tmax_c);
    print_year(site->tmin_c);
    putchar('\n');
}

static thirstline_status ask(thirstline_file* file, const char* line, thirstline_site* site,
                             thirstline_error* error) {
    thirstline_lat_lon at;
    int elevation = 0;
    char code[32] = "";
    char country[8] = "";
    const int numbers = sscanf(line, "%lf,%lf,%d", &at.lat_deg, &at.lon_deg, &elevation);
    if (numbers >= 2) {
        const int32_t elevation_m = (int32_t)elevation;
        return thirstline_site_at(file, at, numbers == 3 ? &elevation_m : NULL, site, error);
    }
    if (sscanf(line, "%31[^,\n],%7s", code, country) < 1) code[0] = '\0';
    return thirstline_site_of_postal_code(file, code, country, NULL, site, error);
}

int main(int argc, char** argv) {
    if (argc != 2) {
        fprintf(stderr, "usage: many_sites_c FILE < sites.txt\n");
        return THIRSTLINE_USAGE;
    }
    thirstline_error error = {.struct_size = sizeof error};
    thirstline_file* file = NULL;
    thirstline_status status = thirstline_open(argv[1], &file, &error);

    char line[128];
    while (status == THIRSTLINE_OK && fgets(line, sizeof line, stdin) != NULL) {
        thirstline_site site = {.struct_size = sizeof site};
        status = ask(file, line, &site, &error);
        /* A site without an answer is a line of the table; a damaged file ends the run. */
        if (status == THIRSTLINE_NO_DATA || status == THIRSTLINE_AMBIGUOUS ||
            status == THIRSTLINE_USAGE)
            status = THIRSTLINE_OK;
        if (status == THIRSTLINE_OK) print_site(&site);
    }
    if (status != THIRSTLINE_OK) fprintf(stderr, "%s\n", error.message);
    thirstline_close(file);
    return (int)status;
}
