// The package `thirstline` for Node and browsers: reads an image (schema/IMAGE.md). index.d.ts has the
// types and describes each function.
import readerWasm from "reader.wasm";
import { positionOfDegrees } from "../../page/source/coordinates.mjs";
import { fixedText } from "../../page/source/exact_numbers.mjs";
import { ELEVATION_PART, STATUS, answerOfParts, readerOf } from "../../page/source/image_reader.mjs";
import { normalisedPostalCode, possiblePostalCodes } from "../../page/source/postal_codes.mjs";
import { siteProfile } from "../../page/source/site_profile.mjs";
import { UsageError } from "../../page/source/usage_error.mjs";
import { ImageError, blobSource, fileSource, imageBlocks, urlSource } from "./image_blocks.mjs";

export { ImageError, UsageError };

const DAYS = [31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const E7 = 1e7;
const LOWEST_M = -1000;
const HIGHEST_M = 10_000;
const MAX_SHIFT_CM = 150_000;
const COUNTRIES_WITH_FORMS = ["US", "CA", "MX"];

const isBytes = (source) => source instanceof ArrayBuffer || ArrayBuffer.isView(source);
const bytesOf = (source) =>
  source instanceof ArrayBuffer
    ? new Uint8Array(source)
    : new Uint8Array(source.buffer, source.byteOffset, source.byteLength);

async function opened(source, fetcher) {
  if (isBytes(source)) return { bytes: bytesOf(source) };
  if (typeof Blob !== "undefined" && source instanceof Blob) return blobSource(source);
  if (typeof source !== "string" && !(source instanceof URL))
    throw new UsageError("An image is given as bytes, a Blob, a path, or a URL.");
  if (/^https?:/i.test(String(source))) return urlSource(source, fetcher);
  // A path; in a browser, an address relative to the page.
  if (typeof process === "undefined" || !process.versions?.node) return urlSource(source, fetcher);
  return fileSource(source);
}

/** As `thirstline-lookup` prints it, as a number. */
const number = (quantity, decimals) => (quantity ? Number(fixedText(quantity, decimals)) : null);

function monthOf(month, index) {
  return {
    month: index + 1,
    days: DAYS[index],
    eto_mm: number(month.etoMm, 1),
    eto_mm_per_day: number(month.etoMmPerDay, 2),
    eto_se_mm: number(month.etoSeMm, 1),
    rain_mm: number(month.rainMm, 1),
    rain_se_mm: number(month.rainSeMm, 1),
    tmax_c: number(month.tmaxC, 1),
    tmin_c: number(month.tminC, 1),
    percent_of_peak: number(month.percentOfPeak, 1),
  };
}

/** The site's elevation minus that of the data, in metres. */
function shiftedByM(elevationM, answer) {
  const own = answer.layers.elevation?.values[0] ?? null;
  if (elevationM === null || own === null) return 0;
  return (elevationM * 100 - Math.trunc(own / answer.layers.elevation.divisor)) / 100;
}

function siteOf(position, answer, elevationM, place) {
  const profile = siteProfile(answer);
  return {
    lat: position.lat / E7,
    lon: position.lon / E7,
    postal: place?.code ?? null,
    country: place?.country ?? null,
    elevation_m: elevationM,
    point: {
      lat: answer.at.lat / E7,
      lon: answer.at.lon / E7,
      interpolated: answer.isInterpolated,
      distance_km: answer.distanceM / 1000,
      elevation_m: number(profile.elevationM, 1),
      shifted_by_m: shiftedByM(elevationM, answer),
    },
    months: profile.months.map(monthOf),
    annual: { eto_mm: number(profile.annualEtoMm, 1), rain_mm: number(profile.annualRainMm, 1) },
    peak_month: profile.peak ? profile.months.indexOf(profile.peak) + 1 : null,
    layers: answer.layers,
  };
}

function checkedPosition(lat, lon) {
  if (!(Math.abs(lat) <= 90)) throw new UsageError(`The latitude ${lat} is outside -90 to 90 degrees.`);
  if (!(Math.abs(lon) <= 180)) throw new UsageError(`The longitude ${lon} is outside -180 to 180 degrees.`);
  return positionOfDegrees(lat, lon);
}

/** Stored forms that the text can mean, each with the country that it is limited to, or "". */
function searchesOf(text, country) {
  if (country !== "") {
    const code = normalisedPostalCode(country, text);
    return code === null ? [] : [{ code, country }];
  }
  const [asWritten, ...others] = possiblePostalCodes(text);
  if (asWritten === undefined) return [];
  const limited = others.flatMap((code) =>
    COUNTRIES_WITH_FORMS.filter((each) => normalisedPostalCode(each, text) === code).map((each) => ({
      code,
      country: each,
    })),
  );
  return [{ code: asWritten, country: "" }, ...limited];
}

class Image {
  #reader;
  #blocks;
  #source;

  constructor(reader, blocks, source) {
    this.#reader = reader;
    this.#blocks = blocks;
    this.#source = source;
  }

  /** Calls until all bytes are there that it needs. */
  async #settled(call) {
    if (this.#source === null) throw new UsageError("The image is closed.");
    for (;;) {
      const { status, result } = call();
      if (status !== STATUS.unreadable) {
        this.#blocks?.forgetOldest();
        if (status === STATUS.ok || result !== undefined) return { status, result };
        throw new ImageError("the image is damaged");
      }
      if (!(await this.#blocks?.loaded())) throw new ImageError("the image cannot be read");
    }
  }

  /** The site's elevation in whole metres; null if none is given. */
  #checkedElevation(elevation) {
    if (elevation === undefined || elevation === null) return null;
    const elevationM = Math.round(elevation);
    if (!(elevationM >= LOWEST_M && elevationM <= HIGHEST_M))
      throw new UsageError(`The elevation ${elevation} is outside ${LOWEST_M} to ${HIGHEST_M} m.`);
    if (!this.#reader.hasGradients())
      throw new UsageError(
        "The image has no changes with elevation.",
        "Export it with --gradients, or leave out the elevation.",
      );
    return elevationM;
  }

  /** Throws if the site's elevation is far from that of the data; bytes that are not there yet say nothing. */
  #checkRise(position, elevationM) {
    if (this.#reader.lookUp(position, ELEVATION_PART) !== STATUS.ok) return;
    const { values, divisor } = this.#reader.answer().layers.elevation;
    if (values[0] === null) return;
    const riseCm = elevationM * 100 - Math.trunc(values[0] / divisor);
    if (Math.abs(riseCm) <= MAX_SHIFT_CM) return;
    const terrainM = Math.round(values[0] / (100 * divisor));
    throw new UsageError(
      `The elevation ${elevationM} m is ${Math.abs(elevationM - terrainM)} m ` +
        `${riseCm > 0 ? "above" : "below"} the terrain around the site, ${terrainM} m; ` +
        "the maximum adjustment is 1500 m.",
    );
  }

  async #answerAt(position, elevationM) {
    const { result } = await this.#settled(() => {
      let failed = STATUS.ok;
      if (elevationM !== null) this.#checkRise(position, elevationM);
      const answer = answerOfParts((part) => {
        const status = failed === STATUS.ok ? this.#reader.lookUp(position, part, elevationM) : failed;
        if (status === STATUS.ok) return this.#reader.answer();
        if (status !== STATUS.noData && status !== STATUS.noSuchPart) failed = status;
        return null;
      });
      return failed === STATUS.ok ? { status: STATUS.ok, result: answer } : { status: failed };
    });
    return result;
  }

  async site(lat, lon, { elevation_m: elevation } = {}) {
    const position = checkedPosition(lat, lon);
    const elevationM = this.#checkedElevation(elevation);
    const answer = await this.#answerAt(position, elevationM);
    return answer && siteOf(position, answer, elevationM);
  }

  async #placesOf({ code, country }) {
    const { status, result } = await this.#settled(() => {
      const found = this.#reader.findCode(code, country);
      if (found === STATUS.noSuchCode) return { status: found, result: [] };
      if (found === STATUS.ok || found === STATUS.several)
        return { status: found, result: [{ ...this.#reader.answerPlace(), code }] };
      return { status: found };
    });
    if (status === STATUS.several) {
      throw new UsageError(`Postal code ${code} exists in several countries.`, "Name the country.");
    }
    return result;
  }

  async postal(code, country = "", { elevation_m: elevation } = {}) {
    const elevationM = this.#checkedElevation(elevation);
    if (typeof code !== "string" || typeof country !== "string")
      throw new UsageError("A postal code is a text: a number loses leading zeros.");
    if (country !== "" && !/^[a-z]{2}$/i.test(country))
      throw new UsageError(`"${country}" is not a country's two letters.`);
    const searches = searchesOf(code, country.toUpperCase());
    if (searches.length === 0) throw new UsageError(`"${code.slice(0, 40)}" is not a postal code.`);
    const places = [];
    for (const search of searches) places.push(...(await this.#placesOf(search)));
    if (new Set(places.map((place) => place.country)).size > 1) {
      throw new UsageError(
        `Postal code ${code} exists in several countries: ${places
          .map((place) => place.country)
          .sort()
          .join(", ")}.`,
        "Name the country.",
      );
    }
    if (places.length === 0) return null;
    const [place] = places;
    const answer = await this.#answerAt(place.position, elevationM);
    return answer && siteOf(place.position, answer, elevationM, place);
  }

  async texts() {
    const pieces = [];
    let noticeBytes = 0;
    for (let offset = 0; ;) {
      const { result } = await this.#settled(() => {
        const status = this.#reader.textFrom(offset);
        return status === STATUS.ok ? { status, result: this.#reader.answerText() } : { status };
      });
      noticeBytes = result.noticeBytes;
      if (result.bytes.length === 0) break;
      pieces.push(...result.bytes);
      offset += result.bytes.length;
    }
    const text = (bytes) => new TextDecoder().decode(Uint8Array.from(bytes));
    return { notice: text(pieces.slice(0, noticeBytes)), about: text(pieces.slice(noticeBytes)).trim() };
  }

  async close() {
    const source = this.#source;
    this.#source = null;
    await source?.close?.();
  }
}

export async function openImage(source, { fetch: fetcher = (...request) => fetch(...request) } = {}) {
  const found = await opened(source, fetcher);
  const blocks = found.bytes ? null : imageBlocks(found);
  try {
    const reader = await readerOf(readerWasm, blocks?.read);
    for (;;) {
      const status = found.bytes ? reader.openBytes(found.bytes) : reader.openByReading(found.size);
      if (status === STATUS.ok) return new Image(reader, blocks, found);
      if (status === STATUS.unsupported)
        throw new ImageError("the image is of a version that this package cannot read");
      if (status !== STATUS.unreadable) throw new ImageError("this is not an image of Thirstline, or it is damaged");
      if (!(await blocks?.loaded())) throw new ImageError("there is no memory for the image");
    }
  } catch (error) {
    await found.close?.();
    throw error;
  }
}
