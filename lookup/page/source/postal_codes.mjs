// Postal codes as people type them, normalised to the published forms: those of
// schema/database/postal_codes.hpp. null means that there is no such form.

const LONGEST_CODE = 16;

/** Trimmed, upper case, each run of inner blanks one blank. */
const tidied = (text) =>
  text
    .replace(/[a-z]/g, (letter) => letter.toUpperCase())
    .replace(/[ \t]+/g, " ")
    .replace(/^ | $/g, "");
const joined = (text) => tidied(text).replace(/[ -]/g, "");

const usCode = (text) => (/^\d{5}(?:[- ]?\d{4})?$/.test(tidied(text)) ? tidied(text).slice(0, 5) : null);
const canadianCode = (text) => (/^[A-Z]\d[A-Z](?:\d[A-Z]\d)?$/.test(joined(text)) ? joined(text).slice(0, 3) : null);
const mexicanCode = (text) => (/^\d{5}$/.test(tidied(text)) ? tidied(text) : null);
const otherCode = (text) => {
  const code = tidied(text);
  return code.length <= LONGEST_CODE && /^[0-9A-Z -]+$/.test(code) ? code : null;
};

export function normalisedPostalCode(country, text) {
  if (country === "US") return usCode(text);
  if (country === "CA") return canadianCode(text);
  if (country === "MX") return mexicanCode(text);
  return otherCode(text);
}

/** All forms that the text can have in some country, without repetition; none if it is not a
 * code. */
export function possiblePostalCodes(text) {
  const asWritten = otherCode(text);
  if (asWritten === null) return [];
  const forms = [asWritten, usCode(text), canadianCode(text), mexicanCode(text)];
  return [...new Set(forms.filter((form) => form !== null))];
}

/** The country and the code of "US 68847", "68847,US", "us-68847" or, as the page's own headings have it,
 * "Kearney, US 68847"; null for other texts. */
export function codeInCountry(text) {
  const words = tidied(text).split(/[ ,-]+/);
  if (words.length < 2) return null;
  const isCountry = (word) => /^[A-Z]{2}$/.test(word);
  if (isCountry(words[0])) return { country: words[0], code: words.slice(1).join(" ") };
  if (isCountry(words.at(-1))) return { country: words.at(-1), code: words.slice(0, -1).join(" ") };
  const comma = text.lastIndexOf(",");
  return comma < 0 ? null : codeInCountry(text.slice(comma + 1));
}

/** A sentence for three or four digits, or eight; else empty. */
export function lostZeroHint(text) {
  const digits = joined(text);
  let meant = "";
  if (/^\d{3,4}$/.test(digits)) meant = digits.padStart(5, "0");
  if (/^\d{8}$/.test(digits)) meant = "0" + digits.slice(0, 4);
  return meant === "" ? "" : `Spreadsheets drop a leading zero: did you mean ${meant}?`;
}
