/* The watering demand of one zone, for the static page: the code of `thirstline-lookup demand`
 * without its database, compiled to WebAssembly (page_core.wasm), or to any other machine.
 *
 * The module imports nothing. In JavaScript, all that it takes is this:
 *
 *     const core = (await
 * WebAssembly.instantiateStreaming(fetch("page_core.wasm"))).instance.exports; core._initialize();
 *     const bytesAt = (at, count) => new Uint8Array(core.memory.buffer, at, count);
 *     function demand(request) {                       // "eto=200:…\nplanting=cool turf\n…"
 *         const bytes = new TextEncoder().encode(request);
 *         const asked = core.page_core_allocate(bytes.length);
 *         bytesAt(asked, bytes.length).set(bytes);
 *         const told = core.page_core_demand(asked, bytes.length);
 *         const answer = new TextDecoder().decode(bytesAt(told, core.page_core_text_bytes(told)));
 *         core.page_core_release(asked);
 *         core.page_core_release(told);
 *         return JSON.parse(answer);
 *     }
 *
 * (Memory may grow in any call, which detaches older views of it: make a new one after each.)
 *
 * The request is UTF-8, at most PAGE_CORE_MOST_BYTES: lines `name=value`, in any order, each name
 * once. A value ends at the line's end; an empty one counts as not given. The names are
 *
 *   - eto, eto_se, rain, rain_se, tmax, tmin: the climate, as the file answers for the place. The
 *     value is `D:v1,v2,…,v12`, January first: integers in hundredths of the layer's stored unit,
 *     where D is the layer's divisor (1 to 10000; the table `layer` of the file), so that
 *     v / (100 · D) is mm/day for eto and eto_se, mm a month for rain and rain_se, and °C. An empty
 *     v is a month that the file does not know. Needed: eto. Without rain none is credited, without
 *     eto_se or rain_se no error is told; without tmax and tmin no month is dormant by itself.
 *   - reference: `short` (if not given) or `tall`, as the file's metadata have it.
 *   - units: `metric` (if not given) or `us`, for the words; numbers are always metric.
 *   - every option of `demand` that describes a zone, its local rules or its water's price, without
 *     the two hyphens, its value as it is typed there: `area-ft2=1500`, `allowed-days=Mon,Wed,Fri`.
 *     Ranges and defaults are the command's.
 *
 * Neither the latitude nor the elevation of the place has a part in the demand.
 *
 * The answer is JSON on one line. Of a demand:
 *
 *     {"schema_version": 2, "job": {…}, "zones": […], "site": {…}, "cautions": […],
 *      "words": {"depth_unit", "volume_unit", "rules", "conflicts": […], "base_run", "peak_need",
 *                "months": [{"month", "need", "rain", "net", "gross", "percent", "days", "runs",
 *                            "run_time", "minutes_a_week", "water", "cost"}, … twelve],
 *                "curve": […], "new_planting": […], "rain_shutoff", "uncertainty",
 *                "year": [{"what", "water", "cost"}, …], "year_notes": […], "assumed": […]}}
 *
 * zones (one), site and cautions are those of `demand --format json`, digit for digit: see
 * schema/json/demand.schema.json. The words are the sentences and cells of the command's text, in
 * the units asked for; what there is nothing to say of is an empty text. Show the cautions, the
 * conflicts and the baseline's notice with the numbers: local watering rules come first, and a
 * normal is no forecast.
 *
 * Where there is no demand:
 *
 *     {"error": {"status": 2, "message": "--efficiency must be a number from 0.2 to 1", "hint":
 * ""}}
 *
 * with the command's sentences and exit status: 2 for an option or a line of the request, 3 for
 * numbers that cannot be together, 1 for a month without ETo.
 *
 * Errors are told in the answer alone: no function fails in another way, and nothing is printed.
 * Only where memory runs out the instance ends.
 *
 * Thread safety: functions share nothing, and may be called from any thread. (An instance of the
 * module belongs to one thread.)
 */
#ifndef THIRSTLINE_PAGE_CORE_H
#define THIRSTLINE_PAGE_CORE_H

/* NOLINTBEGIN(modernize-*): C's customary includes. */
#include <stddef.h>

#define PAGE_CORE_MOST_BYTES 65536

#ifdef __cplusplus
extern "C" {
#endif

/* Room for a request. NULL if there is no memory. */
char* page_core_allocate(size_t bytes);

/* Gives back what page_core_allocate or page_core_demand gave; NULL is allowed. */
void page_core_release(char* text);

/* The answer to a request, with a zero byte at its end; the request needs none, and stays the
 * caller's. Never NULL. */
char* page_core_demand(const char* request, size_t bytes);

/* Bytes of an answer, without the zero at its end. */
size_t page_core_text_bytes(const char* text);

#ifdef __cplusplus
}
#endif
/* NOLINTEND(modernize-*) */

#endif
