// Compiled by `tsc --strict`, not run: the package's types as a program uses them.
import { ImageError, UsageError, openImage } from "thirstline";
import type { Image, Month, Site } from "thirstline";
import { demand } from "thirstline/demand";

async function peak(image: Image, code: string): Promise<number | null> {
    const site: Site | null = await image.postal(code, "XM");
    if (site === null || site.peak_month === null) return null;
    const month: Month | undefined = site.months[site.peak_month - 1];
    return month?.eto_mm ?? null;
}

export async function main(bytes: ArrayBuffer): Promise<string[]> {
    try {
        const image = await openImage(bytes);
        for (const source of [new URL("https://example.org/a.img"), "a.img", new Blob([]), new Uint8Array(1)])
            await (await openImage(source)).close();
        await peak(image, "04107");
        const site = await image.site(44.6, -37.5);
        if (!site) return [];
        const plan = await demand(site, { planting: "cool turf", "area-m2": 140 }, { units: "us" });
        // @ts-expect-error: a postal code is a text.
        await image.postal(4107);
        // @ts-expect-error: a number may be unknown.
        const sum: number = site.annual.eto_mm;
        return [...plan.cautions, (await image.texts()).notice, String(sum)];
    } catch (error) {
        if (error instanceof UsageError) return [error.message, error.hint];
        if (error instanceof ImageError) return [error.message];
        throw error;
    }
}
