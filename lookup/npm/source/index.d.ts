/** Numbers are metric and rounded as `thirstline-lookup` prints them; null where the image has none. */
export interface Month {
    /** 1 to 12. */
    month: number;
    /** February has 28.25. */
    days: number;
    /** Reference evapotranspiration, mm in the month. */
    eto_mm: number | null;
    eto_mm_per_day: number | null;
    /** Standard errors of the normal, not of single years. */
    eto_se_mm: number | null;
    /** All precipitation, mm in the month. */
    rain_mm: number | null;
    rain_se_mm: number | null;
    /** Mean daily maximum and minimum air temperature, degrees C. */
    tmax_c: number | null;
    tmin_c: number | null;
    /** ETo per day, percent of the peak month's. */
    percent_of_peak: number | null;
}

/** Exact integers: a value is integer / (100 * divisor) of the layer's unit; January first. */
export interface Layer {
    divisor: number;
    values: (number | null)[];
}

export interface Site {
    /** WGS 84 degrees; of a postal code, its centroid. */
    lat: number;
    lon: number;
    postal: string | null;
    country: string | null;
    /** The site's own elevation, as given; else null. */
    elevation_m: number | null;
    point: {
        /** The site if interpolated, else the nearest point with data. */
        lat: number;
        lon: number;
        interpolated: boolean;
        distance_km: number;
        /** Of the data; null if the image has no elevations. */
        elevation_m: number | null;
        /** The site's elevation minus that of the data; 0 if not given. */
        shifted_by_m: number;
    };
    /** Twelve. */
    months: Month[];
    /** Sums of the months, from unrounded numbers. */
    annual: { eto_mm: number | null; rain_mm: number | null };
    /** 1 to 12, by ETo per day. */
    peak_month: number | null;
    layers: Record<string, Layer>;
}

/** Of a question. */
export interface SiteOptions {
    /** The site's own elevation, -1000 to 10000 m, rounded to the whole metre: values are adjusted to it. The image must
     * have been exported with --gradients. */
    elevation_m?: number | null;
}

export interface Image {
    /** The year of a site; null if the image has no data within reach. Throws UsageError for degrees or an elevation that
     * are not valid, ImageError for damaged bytes. */
    site(lat: number, lon: number, options?: SiteOptions): Promise<Site | null>;
    /** The year of a postal code's centroid, the code as people write it; null if the image does not have it.
     * `country` is two letters. Throws UsageError for a text that is not a code, and for a code that several countries
     * have. */
    postal(code: string, country?: string, options?: SiteOptions): Promise<Site | null>;
    /** The notice, to be shown with every answer, and the image's title, sources, licenses and attributions. */
    texts(): Promise<{ notice: string; about: string }>;
    close(): Promise<void>;
}

/** The question is not valid: one sentence, and perhaps a hint. */
export class UsageError extends Error {
    hint: string;
}

/** The image cannot be read, or is damaged: one sentence. */
export class ImageError extends Error {}

/**
 * Opens an image made by `thirstline-builder export --as image`: its bytes, a Blob or File, in Node a path or a file
 * URL, or an http or https URL. Of a file or a URL only the blocks that an answer needs are read, by range requests
 * where the server has them. A value of `fetch` is used in place of the global function.
 */
export function openImage(
    source: ArrayBuffer | ArrayBufferView | Blob | string | URL,
    options?: { fetch?: (url: string | URL, init: { headers: Record<string, string> }) => Promise<Response> },
): Promise<Image>;
