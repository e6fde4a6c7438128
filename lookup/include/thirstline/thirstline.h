/* Thirstline for C (C99 and later): monthly reference evapotranspiration (ETo) and rain of any
 * site, from a file that thirstline-builder made. No network. C++ has thirstline.hpp on top of
 * this.
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
 * Numbers are those of thirstline-lookup to the last digit: both ask the same integers.
 *
 * Structs. The caller sets struct_size to sizeof the struct before a call, in each struct that has
 * one (of an array: in its first element, for all). Later versions of a major version only add
 * members at the end, and a library fills no more than struct_size bytes; members that it does not
 * know become 0.
 *
 * Texts are UTF-8 and end with a zero byte. A `const char*` in an answer belongs to the file and
 * lives until thirstline_close. Texts copied into an array are cut to its length between two
 * characters.
 *
 * Errors come as a status. `error` may be NULL; it is written only when the status is not
 * THIRSTLINE_OK. A null pointer or a struct_size that is too small gives THIRSTLINE_USAGE. No
 * function throws, prints, or ends the process.
 *
 * Thread safety. A file belongs to one thread at a time: a call with a file that another thread is
 * in a call with gives THIRSTLINE_BUSY and does nothing else. Files are independent of each other:
 * open one for each thread, even of the same path. Functions without a file may be called from any
 * thread. The library keeps no state outside of files.
 *
 * Replacing a file. Write the new version under another name on the same disk and rename it to the
 * old one's name. Files that are open go on reading the old version; open again to read the new
 * one. A file that is overwritten or cut while it is open gives THIRSTLINE_IO: close it and open
 * again.
 *
 * A normal is no forecast, and reference ET is not yet a watering time. Local watering rules and
 * codes come first; show the baseline's notice and its sources' attribution with what you answer.
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

/* What a call came to. The values up to 70 are also the exit statuses of thirstline-lookup. */
typedef enum thirstline_status {
    THIRSTLINE_OK = 0,
    THIRSTLINE_NO_DATA = 1,   /* a valid question, but the file has no data there or no such code */
    THIRSTLINE_USAGE = 2,     /* the question cannot be understood: a latitude of 91 */
    THIRSTLINE_BAD_FILE = 4,  /* the file is damaged, foreign, or of an unsupported version */
    THIRSTLINE_IO = 5,        /* the operating system refused: no such file, no permission; or the
                                 file was changed while it was open */
    THIRSTLINE_INTERNAL = 70, /* memory ran out, or an internal error of the library */
    THIRSTLINE_AMBIGUOUS = 100, /* several countries have that postal code: name one */
    THIRSTLINE_BUSY = 101       /* another thread is in a call with this file */
} thirstline_status;

/* Why a call failed. */
typedef struct thirstline_error {
    size_t struct_size;
    int32_t status;       /* as the call returned it */
    char message[1024];   /* one sentence without a full stop: what is wrong, and where */
    char hint[512];       /* what may help; may be empty */
    char countries[1024]; /* of an ambiguous postal code: "CA US", sorted, separated by spaces */
} thirstline_error;

/* WGS 84 degrees: latitude -90 to 90, longitude -180 to 180. Taken to 1e-7 degrees, about 1 cm. */
typedef struct thirstline_lat_lon {
    double lat_deg;
    double lon_deg;
} thirstline_lat_lon;

/* An open file. */
typedef struct thirstline_file thirstline_file;

/* In integers: a value that the file does not know. In doubles: NaN. */
#define THIRSTLINE_UNKNOWN INT32_MIN

/* The answer about a site. Arrays of 12 begin with January.
 *
 * The doubles are not rounded; thirstline_rounded gives the digits that thirstline-lookup prints.
 * The integers are what all answers are made of, and exact: value = integer / (units per …), where
 * the divisors are those of thirstline_baseline. Standard errors are of the normal, not of single
 * years: the 90 % interval of the normal is 1.645 of them either way. */
typedef struct thirstline_site {
    size_t struct_size;
    int32_t status;   /* THIRSTLINE_OK, or why there is no answer; then only the query is filled */
    char reason[256]; /* of a miss: one sentence without a full stop */
    char hint[256];   /* of a miss: what may help; may be empty */

    /* What was asked. */
    int32_t lat_e7;      /* 1e-7 degrees; the postal code's centroid; THIRSTLINE_UNKNOWN if there */
    int32_t lon_e7;      /* is no such code */
    char postal[24];     /* as the file keeps it; empty if asked by coordinates */
    char country[8];     /* two letters; empty if not known */
    int32_t elevation_m; /* THIRSTLINE_UNKNOWN unless given */
    const char* place;   /* the postal code's, if the file names it; else empty */

    /* What answered. */
    int32_t point_lat_e7;         /* the site itself if interpolated, else the nearest point */
    int32_t point_lon_e7;         /* with data */
    int32_t interpolated;         /* 1: from the points around the site */
    int32_t distance_m;           /* from the site; 0 if interpolated */
    int32_t shifted_by_cm;        /* elevation_m less that of the data, -150000 to 150000: values
                                    are carried no farther; 0 unless given */
    int32_t data_elevation_fixed; /* as an exact integer, like those below */
    int32_t method_code;          /* the greatest, least trusted, of any corner and month */
    int32_t peak_month;           /* 1 to 12: of the greatest ETo per day; 0 if no month has any */
    double data_elevation_m;      /* of the data, before values are carried to elevation_m */
    const char* method;           /* "penman-monteith", "hargreaves-samani" or "eto-grid" */
    const char* method_note;      /* what had to be estimated, such as "wind taken from nearby" */
    const char* site_correction;  /* "reference" or "none", with the reason where it has one */
    const char* period;           /* that the normals stand for: "1991-2020" */
    double annual_eto_mm;         /* of unrounded months; NaN unless all are known */
    double annual_rain_mm;

    /* The months. */
    double eto_mm_per_day[12];
    double eto_mm[12]; /* a month; February has 28.25 days */
    double eto_se_mm[12];
    double rain_mm[12]; /* total precipitation, including snow water equivalent */
    double rain_se_mm[12];
    double tmax_c[12]; /* temperatures are as measured, without site correction */
    double tmin_c[12];
    double percent_of_peak[12]; /* of ETo per day */
    int32_t method_codes[12];

    /* The same as exact integers. */
    int32_t eto_fixed[12];    /* per day */
    int32_t eto_se_fixed[12]; /* per day */
    int32_t rain_fixed[12];
    int32_t rain_se_fixed[12];
    int32_t tmax_fixed[12];
    int32_t tmin_fixed[12];
} thirstline_site;

/* A site among many. */
typedef struct thirstline_query {
    size_t struct_size;
    const char* postal;  /* NULL: lat_lon is asked */
    const char* country; /* of the postal code, two letters; NULL: whichever has it */
    thirstline_lat_lon lat_lon;
    int32_t elevation_m; /* THIRSTLINE_UNKNOWN: that of the file's own points */
} thirstline_query;

/* What a file says of itself as a whole. Show the notice with every answer. */
typedef struct thirstline_baseline {
    size_t struct_size;
    const char* title;
    const char* region;
    const char* publisher;
    const char* period;
    const char* reference;       /* the surface that ETo stands for: "short" or "tall" */
    const char* site_correction; /* "reference" or "none" */
    const char* notice;
    const char* builder_version;
    const char* content_sha256; /* the same for files that hold the same */
    int32_t source_count;
    int32_t has_temperature;
    int32_t has_standard_errors;

    /* Divisors of the integers of thirstline_site; 0 where the file lacks the layer. */
    int32_t eto_units_per_mm_per_day;
    int32_t eto_se_units_per_mm_per_day;
    int32_t rain_units_per_mm;
    int32_t rain_se_units_per_mm;
    int32_t tmax_units_per_degree;
    int32_t tmin_units_per_degree;
    int32_t elevation_units_per_m;
} thirstline_baseline;

/* Where a file's numbers come from. Show the attribution, and keep to the licence. */
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
    double elevation_difference_m; /* station less site; NaN if the site's is not known */
    double weight;                 /* share among those given; they add up to 1 */
} thirstline_station;

/* The version of the library that runs: text, and number as THIRSTLINE_VERSION_NUMBER. */
THIRSTLINE_API const char* thirstline_version(void);
THIRSTLINE_API int32_t thirstline_version_number(void);

/* Opens a file for reading. *file is NULL on failure. */
THIRSTLINE_API thirstline_status thirstline_open(const char* path, thirstline_file** file,
                                                 thirstline_error* error);

/* The same, mapped into memory: a little quicker, for a file that is never cut while it is open. If
 * it is cut all the same, the system may end the process (SIGBUS). */
THIRSTLINE_API thirstline_status thirstline_open_mapped(const char* path, thirstline_file** file,
                                                        thirstline_error* error);

/* Ends the use of a file and of every text that belongs to it. NULL does nothing. No other thread
 * may be in a call with it. */
THIRSTLINE_API void thirstline_close(thirstline_file* file);

/* Reads all tables of the file and makes sure that nothing in them is damaged. Answers check what
 * they read without it; this is for a file that has just been fetched. */
THIRSTLINE_API thirstline_status thirstline_verify(thirstline_file* file, thirstline_error* error);

/* The year of a site by coordinates. `elevation_m` is the site's own, whole metres from -1000 to
 * 10000, to which values are carried; NULL: that of the file's points.
 * THIRSTLINE_NO_DATA where the file has no point within reach: site->reason says so. */
THIRSTLINE_API thirstline_status thirstline_site_at(thirstline_file* file,
                                                    thirstline_lat_lon lat_lon,
                                                    const int32_t* elevation_m,
                                                    thirstline_site* site, thirstline_error* error);

/* The same by postal code, as people write them: "97401-1234", "k1a 0b1". `country` is two letters;
 * NULL or "": the country that has the code, or THIRSTLINE_AMBIGUOUS with error->countries if there
 * are several. THIRSTLINE_NO_DATA for a code that the file does not know. */
THIRSTLINE_API thirstline_status thirstline_site_of_postal_code(
    thirstline_file* file, const char* code, const char* country, const int32_t* elevation_m,
    thirstline_site* site, thirstline_error* error);

/* Many sites: sites[i] answers queries[i]. What is wrong with one query is its own site's status
 * and reason, not the end of the run; the call fails only where the file does, or for a wrong
 * argument. `jobs` threads answer, 1 to 256, each over a connection of its own; 0: one a core. They
 * have ended when the call returns. */
THIRSTLINE_API thirstline_status thirstline_sites(thirstline_file* file,
                                                  const thirstline_query* queries, size_t count,
                                                  int32_t jobs, thirstline_site* sites,
                                                  thirstline_error* error);

/* The stations used for a site, by falling weight: *count of them, at most `capacity`.
 * None in a file made from grids alone. */
THIRSTLINE_API thirstline_status thirstline_stations_near(
    thirstline_file* file, thirstline_lat_lon lat_lon, const int32_t* elevation_m,
    thirstline_station* stations, size_t capacity, size_t* count, thirstline_error* error);

THIRSTLINE_API thirstline_status thirstline_get_baseline(thirstline_file* file,
                                                         thirstline_baseline* baseline,
                                                         thirstline_error* error);

/* The source of that index, from 0 to one less than the baseline's source_count. */
THIRSTLINE_API thirstline_status thirstline_get_source(thirstline_file* file, int32_t index,
                                                       thirstline_source* source,
                                                       thirstline_error* error);

/* `value` to 0 … 7 decimals as thirstline-lookup rounds: half away from zero, true decimal ties
 * included. It prints mm and degrees to 1, mm a day to 2, kilometres to 3. NaN, and what is 1e9 or
 * more in size, come back as they are. */
THIRSTLINE_API double thirstline_rounded(double value, int32_t decimals);

#ifdef __cplusplus
}
#endif
/* NOLINTEND(readability-identifier-naming, modernize-*) */

#endif
