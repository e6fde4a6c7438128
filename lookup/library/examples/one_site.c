/* The peak month of reference ET at a postal code, in C.
 *
 *   one_site_c merrow.sqlite 04107 */
#include <stdio.h>
#include <thirstline/thirstline.h>

int main(int argc, char** argv) {
    if (argc != 3) {
        fprintf(stderr, "usage: one_site_c FILE POSTAL-CODE\n");
        return THIRSTLINE_USAGE;
    }
    thirstline_error error = {.struct_size = sizeof error};
    thirstline_file* file = NULL;
    thirstline_status status = thirstline_open(argv[1], &file, &error);

    thirstline_site site = {.struct_size = sizeof site};
    if (status == THIRSTLINE_OK)
        status = thirstline_site_of_postal_code(file, argv[2], NULL, NULL, &site, &error);
    thirstline_baseline baseline = {.struct_size = sizeof baseline};
    if (status == THIRSTLINE_OK) status = thirstline_get_baseline(file, &baseline, &error);

    if (status != THIRSTLINE_OK) {
        fprintf(stderr, "%s\n", error.message);
        if (status == THIRSTLINE_AMBIGUOUS) fprintf(stderr, "countries: %s\n", error.countries);
    } else {
        printf("%s: ", site.place);
        if (site.peak_month == 0)
            printf("no reference ET\n");
        else
            printf("peak month %d, %.2f mm/day\n", (int)site.peak_month,
                   thirstline_rounded(site.eto_mm_per_day[site.peak_month - 1], 2));
        printf("%s\n", baseline.notice);
    }
    thirstline_close(file);
    return (int)status;
}
