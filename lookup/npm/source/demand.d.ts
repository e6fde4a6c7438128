import type { Site } from "./index.js";

/** What `thirstline-lookup demand --format json` has for one zone (schema/json/demand.schema.json), and its sentences. */
export interface Demand {
    schema_version: number;
    zones: Record<string, unknown>[];
    site: Record<string, unknown>;
    cautions: string[];
    words: Record<string, unknown>;
}

/**
 * The schedule of a zone. `zone` has the options of `thirstline-lookup demand` without their hyphens in front:
 * { planting: "cool turf", "area-m2": 140, "rate-mm-per-h": 35 }. `units` is for the texts; `reference` is the reference
 * surface of the image's ETo. Throws UsageError with the command's sentence. Show the cautions with the schedule: local
 * watering rules come first.
 */
export function demand(
    site: Site,
    zone: Record<string, string | number | boolean>,
    options?: { units?: "metric" | "us"; reference?: "short" | "tall" },
): Promise<Demand>;
