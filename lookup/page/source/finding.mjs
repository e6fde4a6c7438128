// Finds the places that a typed text can mean. A site is {position} or, for a postal code,
// {position, code, country, place}.
import { positionOfText } from "./coordinates.mjs";
import { codeInCountry, lostZeroHint, normalisedPostalCode, possiblePostalCodes } from "./postal_codes.mjs";
import { UsageError } from "./usage_error.mjs";

/** All places of the publication that the text can mean as a postal code, in any country. */
export async function sitesOfPostalCode(published, text, country = "") {
  const codes = possiblePostalCodes(text);
  const rows = codes.length === 0 ? [] : await published.postalRows(codes);
  return rows
    .filter(([code, itsCountry]) => normalisedPostalCode(itsCountry, text) === code)
    .filter(([, itsCountry]) => country === "" || itsCountry === country)
    .map(([code, itsCountry, place, lat, lon]) => ({ position: { lat, lon }, code, country: itsCountry, place }));
}

/** A character between digits that does not occur in postal codes, or compass letters. */
const looksLikePosition = (text) => /[.,;°º˚'′’‘"″”“+\u2212]|^\s*-|\d\s*[NSEW]\b.*\d|^\s*[NSEW]\s*\d.*\d/i.test(text);

/** One site, or several to choose from. Throws UsageError or PublicationError. */
export async function sitesOfText(published, text) {
  if (text.trim() === "") {
    throw new UsageError("Enter a postal code, or a latitude and a longitude.");
  }
  const sites = await sitesOfPostalCode(published, text);
  if (sites.length > 0) return sites;
  const { postal } = await published.baseline();
  const named = codeInCountry(text);
  if (named !== null && postal.countries.includes(named.country)) {
    const inCountry = await sitesOfPostalCode(published, named.code, named.country);
    if (inCountry.length > 0) return inCountry;
    throw new UsageError(`This page has no postal code ${named.code} of ${named.country}.`, lostZeroHint(named.code));
  }
  let fault;
  try {
    return [{ position: positionOfText(text) }];
  } catch (error) {
    fault = error;
  }
  const [code] = possiblePostalCodes(text);
  if (looksLikePosition(text) || code === undefined) throw fault;
  if (postal.codes === 0) {
    throw new UsageError("This page has no postal codes.", "Use latitude and longitude, or the map.");
  }
  if (!/\d/.test(text)) {
    throw new UsageError(
      "This page does not search for place names.",
      "Enter a postal code, or a latitude and a longitude, or use the map.",
    );
  }
  throw new UsageError(
    `This page has no postal code ${code}.`,
    lostZeroHint(text) ||
      `It has those of ${postal.countries.join(", ")}; for other places use latitude and longitude, or the map.`,
  );
}
