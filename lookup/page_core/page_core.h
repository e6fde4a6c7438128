/* The watering demand of one zone, for the static page: the code of `thirstline-lookup demand`
 * without its database, compiled to WebAssembly (page_core.wasm) or for any other machine.
 *
 * The module imports nothing. JavaScript uses it like this:
 *
 *     const module = await WebAssembly.instantiateStreaming(fetch("page_core.wasm"));
 *     const core = module.instance.exports;
 *     core._initialize();
 *     const bytesAt = (at, count) => new Uint8Array(core.memory.buffer, at, count);
 *     function demand(request) {                       // "eto=200:…\nplanting=cool turf\n…"
 *         const bytes = new TextEncoder().encode(request);
 *         const input = core.page_core_allocate(bytes.length);
 *         bytesAt(input, bytes.length).set(bytes);
 *         const output = core.page_core_demand(input, bytes.length);
 *         const text = bytesAt(output, core.page_core_text_bytes(output));
 *         const answer = new TextDecoder().decode(text);
 *         core.page_core_release(input);
 *         core.page_core_release(output);
 *         return JSON.parse(answer);
 *     }
 *
 * (Memory may grow in any call, which detaches older views of it: make a new one after each.)
 *
 * The request is UTF-8, at most PAGE_CORE_MOST_BYTES: lines `name=value`, in any order, each name
 * once. A value ends at the end of the line; an empty one counts as not given. The names are
 *
 *   - eto, eto_se, rain, rain_se, tmax, tmin: the climate, as the file gives it for the place. The
 *     value is `D:v1,v2,…,v12`, January first: integers in hundredths of the layer's stored unit,
 *     where D is the layer's divisor (1 to 10000; the table `layer` of the file), so that
 *     v / (100 · D) is mm/day for eto and eto_se, mm per month for rain and rain_se, and °C. An
 *     empty v is a month that is not known. Required: eto. Without rain, none is credited; without
 *     eto_se or rain_se, no uncertainty is given; without tmax and tmin, no month is dormant by
 *     default.
 *   - reference: `short` (the default) or `tall`, as in the file's metadata.
 *   - units: `metric` (the default) or `us`, for the texts; numbers are always metric.
 *   - every option of `demand` that describes a zone, its local rules or its water's price, without
 *     the two hyphens, with the value as typed there: `area-ft2=1500`, `allowed-days=Mon,Wed,Fri`.
 *     Ranges and defaults are the command's.
 *
 * The demand does not depend on the latitude or the elevation of the place.
 *
 * The answer is JSON on one line. If there is a demand:
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
 * the requested units; texts that do not apply are empty. Show the cautions, the conflicts and the
 * baseline's notice with the numbers: local watering rules come first, and a normal is not a
 * forecast.
 *
 * If there is no demand:
 *
 *     {"error": {"status": 2,
 *                "message": "--efficiency must be a number from 0.2 to 1", "hint": ""}}
 *
 * with the command's sentences and exit status: 2 for an option or a line of the request, 3 for
 * numbers that contradict each other, 1 for a month without ETo.
 *
 * All errors are reported in the answer: functions do not fail in any other way, and nothing is
 * printed. Only if memory runs out does the instance end.
 *
 * Thread safety: functions share no state, and may be called from any thread. (An instance of the
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

/* Memory for a request. NULL if there is none. */
char* page_core_allocate(size_t bytes);

/* Frees memory from page_core_allocate or page_core_demand; NULL is allowed. */
void page_core_release(char* text);

/* The answer to a request, with a zero byte at its end; the request needs none, and is not freed.
 * Never NULL. */
char* page_core_demand(const char* request, size_t bytes);

/* Number of bytes of an answer, without the zero at its end. */
size_t page_core_text_bytes(const char* text);

#ifdef __cplusplus
}
#endif
/* NOLINTEND(modernize-*) */

#endif
