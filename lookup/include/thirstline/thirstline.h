/* Thirstline for C (C99 and later): monthly reference evapotranspiration (ETo) and rain for any
 * site, from a file made by thirstline-builder. No network access. For C++, use thirstline.hpp,
 * which wraps this interface.
 *
 *     thirstline_file* file = NULL;
 *     thirstline_error error = {.struct_size = sizeof error};
 *     if (thirstline_open("merrow.sqlite", &file, &error) != THIRSTLINE_OK) puts(error.message);
 *
 *     thirstline_site site = {.struct_size = sizeof site};
 *     thirstline_lat_lon place = {44.603, -37.532};
 *     if (thirstline_site_at(file, place, NULL, &site, &error) == THIRSTLINE_OK)
 *         printf("July: %.1f mm\n", thirstline_rounded(site.eto_mm[6], 1));
 *     thirstline_close(file);
 *
 * Numbers match those of thirstline-lookup to the last digit: both use the same integers.
 *
 * Structs. Before a call, set struct_size to the sizeof of the struct, in each struct that has this
 * member (for an array, the first element's applies to all). Later minor versions only add members
 * at the end, and the library writes at most struct_size bytes; members that it does not know are
 * set to 0.
 *
 * Texts are UTF-8 and end with a zero byte. A `const char*` in an answer belongs to the file and is
 * valid until thirstline_close. A text copied into an array is truncated to fit, between two
 * characters.
 *
 * Errors are returned as a status. `error` may be NULL; it is written only if the status is not
 * THIRSTLINE_OK. A null pointer or a struct_size that is too small gives THIRSTLINE_USAGE. No
 * function throws, prints, or ends the process.
 *
 * Thread safety. Only one thread at a time may use a file: a call with a file that another thread
 * is using returns THIRSTLINE_BUSY and does nothing else. Files are independent of each other: open
 * one for each thread, even of the same path. Functions without a file may be called from any
 * thread. The library has no global state.
 *
 * Replacing a file. Write the new version under another name on the same file system and rename it
 * to the old name. Open files continue to read the old version; open the path again to read the new
 * one. A file that is overwritten or truncated while it is open gives THIRSTLINE_IO: close it and
 * open it again.
 *
 * A normal is not a forecast, and reference ET is not a watering time. Local watering rules and
 * codes come first. Show the baseline's notice and its sources' attribution with your answers.
 */
#ifndef THIRSTLINE_H
#define THIRSTLINE_H

/* NOLINTBEGIN(readability-identifier-naming, modernize-*): C's customary names and includes. */
#include <stddef.h>
#include <stdint.h>

#include "thirstline/version.h"

#if defined(__GNUC__)
#define THIRSTLINE_API __attribute__((visibility("default")))
#else
#define THIRSTLINE_API
#endif

#ifdef __cplusplus
extern "C" {
#endif

/* Result of a call. The values up to 70 are also the exit statuses of thirstline-lookup. */
typedef enum thirstline_status {
    THIRSTLINE_OK = 0,
    THIRSTLINE_NO_DATA = 1,   /* a valid question, but the file has no data there or no such code */
    THIRSTLINE_USAGE = 2,     /* the question is not valid, such as a latitude of 91 */
    THIRSTLINE_BAD_FILE = 4,  /* the file is damaged, not a Thirstline file, or of an unsupported
                                 version */
    THIRSTLINE_IO = 5,        /* the operating system refused: no such file, no permission; or the
                                 file was changed while it was open */
    THIRSTLINE_INTERNAL = 70, /* out of memory, or an internal error of the library */
    THIRSTLINE_AMBIGUOUS = 100, /* several countries have this postal code: name one */
    THIRSTLINE_BUSY = 101       /* another thread is using this file */
} thirstline_status;

/* Why a call failed. */
typedef struct thirstline_error {
    size_t struct_size;
    int32_t status;       /* the status that the call returned */
    char message[1024];   /* one sentence without a full stop: what is wrong, and where */
    char hint[512];       /* a suggestion; may be empty */
    char countries[1024]; /* of an ambiguous postal code: "CA US", sorted, separated by spaces */
} thirstline_error;

/* WGS 84 degrees: latitude -90 to 90, longitude -180 to 180. Rounded to 1e-7 degrees (1 cm). */
typedef struct thirstline_lat_lon {
    double lat_deg;
    double lon_deg;
} thirstline_lat_lon;

/* An open file. */
typedef struct thirstline_file thirstline_file;

/* A value that is not known, in integers. In doubles it is NaN. */
#define THIRSTLINE_UNKNOWN INT32_MIN

/* The answer for a site. Arrays of 12 begin with January.
 *
 * The doubles are not rounded; thirstline_rounded gives the digits that thirstline-lookup prints.
 * The integers are exact, and all other numbers are derived from them: value = integer / divisor,
 * with the divisors in thirstline_baseline. Standard errors are those of the normal, not of single
 * years: the 90 % interval of the normal is ±1.645 standard errors. */
typedef struct thirstline_site {
    size_t struct_size;
    int32_t status;   /* THIRSTLINE_OK, or why there is no answer; then only the query is set */
    char reason[256]; /* if there is no answer: one sentence without a full stop */
    char hint[256];   /* if there is no answer: a suggestion; may be empty */

    /* The query. */
    int32_t lat_e7;      /* 1e-7 degrees; for a postal code, its centroid; */
    int32_t lon_e7;      /* THIRSTLINE_UNKNOWN if there is no such code */
    char postal[24];     /* as stored in the file; empty for a query by coordinates */
    char country[8];     /* two letters; empty if not known */
    int32_t elevation_m; /* THIRSTLINE_UNKNOWN if not given */
    const char* place;   /* of the postal code, if the file has its name; else empty */

    /* The location of the answer. */
    int32_t point_lat_e7;         /* the site itself if interpolated, else the nearest point */
    int32_t point_lon_e7;         /* with data */
    int32_t interpolated;         /* 1: from the grid points around the site */
    int32_t distance_m;           /* from the site; 0 if interpolated */
    int32_t shifted_by_cm;        /* elevation_m minus data elevation, -150000 to 150000: farther
                                     from the terrain, elevation_m is not valid; 0 if not given */
    int32_t data_elevation_fixed; /* an exact integer, like those below */
    int32_t method_code;          /* the largest (least trusted) of all corners and months */
    int32_t peak_month;           /* 1 to 12, by ETo per day; 0 if ETo is not known in any month */
    double data_elevation_m;      /* of the data, before values are adjusted to elevation_m */
    const char* method;           /* "penman-monteith", "hargreaves-samani" or "eto-grid" */
    const char* method_note;      /* what was estimated, such as "wind interpolated from nearby" */
    const char* site_correction;  /* "reference" or "none", with a reason if there is one */
    const char* period;           /* years of the normals, such as "1991-2020" */
    double annual_eto_mm;         /* sum of unrounded months; NaN unless all are known */
    double annual_rain_mm;

    /* Monthly values. */
    double eto_mm_per_day[12];
    double eto_mm[12]; /* per month; February has 28.25 days */
    double eto_se_mm[12];
    double rain_mm[12]; /* total precipitation, including snow water equivalent */
    double rain_se_mm[12];
    double tmax_c[12]; /* air temperatures as measured, without site correction */
    double tmin_c[12];
    double percent_of_peak[12]; /* of the peak month's ETo per day */
    int32_t method_codes[12];

    /* The same values as exact integers. */
    int32_t eto_fixed[12];    /* per day */
    int32_t eto_se_fixed[12]; /* per day */
    int32_t rain_fixed[12];
    int32_t rain_se_fixed[12];
    int32_t tmax_fixed[12];
    int32_t tmin_fixed[12];
} thirstline_site;

/* One of several sites. */
typedef struct thirstline_query {
    size_t struct_size;
    const char* postal;  /* NULL: use lat_lon */
    const char* country; /* of the postal code, two letters; NULL: any country that has it */
    thirstline_lat_lon lat_lon;
    int32_t elevation_m; /* THIRSTLINE_UNKNOWN: use that of the file's points */
} thirstline_query;

/* How a site's JSON differs from its normals by months. */
typedef struct thirstline_json_options {
    size_t struct_size;
    const char* own_record; /* CSV with the columns month,eto_mm,rain_mm, used in place of the
                               file's values; NULL: none */
    const char* year;       /* "mean", "dry", "wet" or a percentage such as "90"; NULL: "mean" */
    const char* step;       /* "month", "week" or "day", of thirstline_site_json; NULL: "month" */
} thirstline_json_options;

/* Where the answers of many sites go, value by value: arrays of the caller, each of `count` sites
 * or of `count` times 12 months, January of a site first. NULL: not wanted. All are exact integers
 * as in thirstline_site; THIRSTLINE_UNKNOWN where there is no answer, or no such value. */
typedef struct thirstline_site_arrays {
    size_t struct_size;

    /* One for each site. */
    int32_t* status; /* THIRSTLINE_OK, THIRSTLINE_NO_DATA or THIRSTLINE_USAGE */
    int32_t* point_lat_e7;
    int32_t* point_lon_e7;
    int32_t* distance_m;
    int32_t* shifted_by_cm;
    int32_t* data_elevation_fixed;

    /* 12 for each site. */
    int32_t* eto_fixed;
    int32_t* eto_se_fixed;
    int32_t* rain_fixed;
    int32_t* rain_se_fixed;
    int32_t* tmax_fixed;
    int32_t* tmin_fixed;
    int32_t* method_codes;
} thirstline_site_arrays;

/* A file's description of itself. Show the notice with every answer. */
typedef struct thirstline_baseline {
    size_t struct_size;
    const char* title;
    const char* region;
    const char* publisher;
    const char* period;
    const char* reference;       /* reference surface of ETo: "short" or "tall" */
    const char* site_correction; /* "reference" or "none" */
    const char* notice;
    const char* builder_version;
    const char* content_sha256; /* the same for files with the same content */
    int32_t source_count;
    int32_t has_temperature;
    int32_t has_standard_errors;

    /* Divisors of the integers of thirstline_site; 0 if the file lacks the layer. */
    int32_t eto_units_per_mm_per_day;
    int32_t eto_se_units_per_mm_per_day;
    int32_t rain_units_per_mm;
    int32_t rain_se_units_per_mm;
    int32_t tmax_units_per_degree;
    int32_t tmin_units_per_degree;
    int32_t elevation_units_per_m;
} thirstline_baseline;

/* A source of a file's numbers. Show the attribution, and comply with the licence. */
typedef struct thirstline_source {
    size_t struct_size;
    const char* name;
    const char* variable;
    const char* period;
    const char* licence;
    const char* attribution;
    const char* url;
    int64_t values_used;
} thirstline_source;

/* A station used for a site. */
typedef struct thirstline_station {
    size_t struct_size;
    const char* name;
    const char* country;
    const char* source;
    const char* period;
    const char* variables; /* such as "tmax, tmin, rain" */
    int32_t lat_e7;
    int32_t lon_e7;
    int32_t elevation_m;
    double distance_km;
    double elevation_difference_m; /* station minus site; NaN if the site's is not known */
    double weight;                 /* the weights of the listed stations add up to 1 */
} thirstline_station;

/* The version of the library at run time: text, and a number like THIRSTLINE_VERSION_NUMBER. */
THIRSTLINE_API const char* thirstline_version(void);
THIRSTLINE_API int32_t thirstline_version_number(void);

/* Opens a file for reading. *file is NULL on failure. */
THIRSTLINE_API thirstline_status thirstline_open(const char* path, thirstline_file** file,
                                                 thirstline_error* error);

/* The same, mapped into memory: slightly faster, for a file that is never truncated while it is
 * open. If it is truncated anyway, the system may end the process (SIGBUS). */
THIRSTLINE_API thirstline_status thirstline_open_mapped(const char* path, thirstline_file** file,
                                                        thirstline_error* error);

/* The same for a file in memory, such as a resource of an app: `bytes` is not copied and must stay
 * valid and unchanged until thirstline_close. */
THIRSTLINE_API thirstline_status thirstline_open_memory(const void* bytes, size_t size,
                                                        thirstline_file** file,
                                                        thirstline_error* error);

/* The same for an open file of the operating system, or a part of it, such as an asset that is
 * stored uncompressed in a phone app's package: `size` bytes from `offset` on, all up to the end if
 * `size` is 0. The descriptor still belongs to the caller, who may close it after this call; its
 * position is neither used nor changed. A part outside the file gives THIRSTLINE_USAGE. */
THIRSTLINE_API thirstline_status thirstline_open_descriptor(int descriptor, int64_t offset,
                                                            int64_t size, thirstline_file** file,
                                                            thirstline_error* error);

/* Closes a file; all texts that belong to it become invalid. NULL is allowed and does nothing. No
 * other thread may be using the file. */
THIRSTLINE_API void thirstline_close(thirstline_file* file);

/* Reads all tables of the file and checks them for damage. Answers check the data that they read
 * even without it; use this for a file that has just been downloaded. */
THIRSTLINE_API thirstline_status thirstline_verify(thirstline_file* file, thirstline_error* error);

/* The year of a site by coordinates. `elevation_m` is the site's own elevation, whole metres from
 * -1000 to 10000, to which values are adjusted; NULL: use the elevation of the file's points.
 * Returns THIRSTLINE_NO_DATA, with site->reason, if the file has no point within reach. */
THIRSTLINE_API thirstline_status thirstline_site_at(thirstline_file* file,
                                                    thirstline_lat_lon lat_lon,
                                                    const int32_t* elevation_m,
                                                    thirstline_site* site, thirstline_error* error);

/* The same by postal code, as people write them: "97401-1234", "k1a 0b1". `country` is two letters;
 * NULL or "": the country that has the code, or THIRSTLINE_AMBIGUOUS with error->countries if there
 * are several. Returns THIRSTLINE_NO_DATA for a code that is not in the file. */
THIRSTLINE_API thirstline_status thirstline_site_of_postal_code(
    thirstline_file* file, const char* code, const char* country, const int32_t* elevation_m,
    thirstline_site* site, thirstline_error* error);

/* Several sites: sites[i] answers queries[i]. An error in one query is reported in the status and
 * reason of its site and does not end the run. The call fails only if the file cannot be read or an
 * argument is not valid. `jobs` is the number of threads, 1 to 256, each with its own connection;
 * 0: one per core. All threads have ended when the call returns. */
THIRSTLINE_API thirstline_status thirstline_sites(thirstline_file* file,
                                                  const thirstline_query* queries, size_t count,
                                                  int32_t jobs, thirstline_site* sites,
                                                  thirstline_error* error);

/* Several sites by coordinates, in arrays: the fastest for many. Site i is at lat_deg[i],
 * lon_deg[i]; its own elevation is elevation_m[i], whole metres, THIRSTLINE_UNKNOWN if not given.
 * `elevation_m` is NULL if none is given. A position or elevation that is not valid gives that site
 * the status THIRSTLINE_USAGE, for which thirstline_site_at has the reason. `jobs` as above. If the
 * call fails, the content of the arrays is not defined. */
THIRSTLINE_API thirstline_status thirstline_sites_in_arrays(
    thirstline_file* file, const double* lat_deg, const double* lon_deg, const int32_t* elevation_m,
    size_t count, int32_t jobs, const thirstline_site_arrays* arrays, thirstline_error* error);

/* The JSON that `thirstline-lookup site --format json` prints (schema/json/site.schema.json):
 * `options` add the user's own record, a dry or wet year, and the year by weeks or days. NULL: none
 * of these. *json belongs to the file and is valid until the next call of this function or of
 * thirstline_demand_json with the file, and until thirstline_close. For a site without data the
 * status is THIRSTLINE_NO_DATA, and it says "found": false; for any other failure, such as a dry
 * year that the file does not have, it is NULL. An own record that is not valid gives
 * THIRSTLINE_USAGE, with its line: "own_record:3: …". */
THIRSTLINE_API thirstline_status thirstline_site_json(thirstline_file* file,
                                                      const thirstline_query* query,
                                                      const thirstline_json_options* options,
                                                      const char** json, thirstline_error* error);

/* The same for `thirstline-lookup demand --format json` (schema/json/demand.schema.json): need, run
 * times, settings of the controller and cost of a site's zones. `zones` is the content of a zone
 * file, TOML as in the manual; the site is that of `query`, not that of its table [job]. Zones that
 * are not valid give THIRSTLINE_USAGE, with their line: "zones:12: …". */
THIRSTLINE_API thirstline_status thirstline_demand_json(thirstline_file* file,
                                                        const thirstline_query* query,
                                                        const char* zones,
                                                        const thirstline_json_options* options,
                                                        const char** json, thirstline_error* error);

/* The stations used for a site, by decreasing weight: *count of them, at most `capacity`. There are
 * none in a file made from grids alone. */
THIRSTLINE_API thirstline_status thirstline_stations_near(
    thirstline_file* file, thirstline_lat_lon lat_lon, const int32_t* elevation_m,
    thirstline_station* stations, size_t capacity, size_t* count, thirstline_error* error);

THIRSTLINE_API thirstline_status thirstline_get_baseline(thirstline_file* file,
                                                         thirstline_baseline* baseline,
                                                         thirstline_error* error);

/* The source with that index, from 0 to the baseline's source_count - 1. */
THIRSTLINE_API thirstline_status thirstline_get_source(thirstline_file* file, int32_t index,
                                                       thirstline_source* source,
                                                       thirstline_error* error);

/* `value` rounded to 0 … 7 decimals as in thirstline-lookup: half away from zero, including exact
 * decimal ties. thirstline-lookup prints mm and degrees to 1 decimal, mm per day to 2, kilometres
 * to 3. NaN, and values of magnitude 1e9 or more, are returned unchanged. */
THIRSTLINE_API double thirstline_rounded(double value, int32_t decimals);

#ifdef __cplusplus
}
#endif
/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
