// Positions as people write them, latitude first: accepts the same as schema/geo/coordinates.hpp,
// to the same 1e-7 degree. A position is {lat, lon} in whole 1e-7 degrees.
import { degreesText } from "./exact_numbers.mjs";
import { UsageError } from "./usage_error.mjs";

const MARKS = [
  ["degree", /^[°º˚]/],
  ["second", /^(?:''|′′|[″”“"])/],
  ["minute", /^['′’‘]/],
  ["separator", /^[,;]/],
];
const BLANKS = /^[ \t\u00a0\u202f]+/;
const NUMBER = /^([-\u2212+]?)([0-9.]+)/;
const PARTS = [
  ["degree", 1],
  ["minute", 60],
  ["second", 3600],
];
const FORM_HINT = `Latitude comes first: 44.45,-37.59 or 44.45N 37.59W or 44°27'00"N 37°35'24"W.`;

const quoted = (text) => `"${text.slice(0, 80)}"`;

function numberToken(text) {
  const [written, sign, digits] = NUMBER.exec(text) ?? [];
  if (written === undefined || !/^(?:[0-9]+\.?[0-9]*|\.[0-9]+)$/.test(digits)) return null;
  return {
    kind: "number",
    sign: sign === "\u2212" ? "-" : sign,
    value: Number(digits),
    whole: !digits.includes("."),
    length: written.length,
  };
}

function markToken(text) {
  for (const [kind, pattern] of MARKS) {
    const mark = pattern.exec(text);
    if (mark) return { kind, length: mark[0].length };
  }
  return /^[NSEW]/i.test(text) ? { kind: "letter", letter: text[0].toUpperCase(), length: 1 } : null;
}

/** Nothing if a character belongs to no token. */
function tokensOf(text) {
  const tokens = [];
  for (;;) {
    text = text.replace(BLANKS, "");
    if (text === "") return tokens;
    const token = numberToken(text) ?? markToken(text);
    if (!token) return null;
    tokens.push(token);
    text = text.slice(token.length);
  }
}

/** [letter] degrees [°] [minutes ['] [seconds ["]]] [letter], and nothing else. */
function angleOf(tokens) {
  let letter = "";
  const rest = [...tokens];
  if (rest[0]?.kind === "letter") letter = rest.shift().letter;
  if (rest.at(-1)?.kind === "letter") {
    if (letter !== "") return null;
    letter = rest.pop().letter;
  }
  if (rest.length === 0) return null;
  const sign = rest[0].sign;
  let degrees = 0;
  let lastWasWhole = true;
  for (let part = 0; rest.length > 0; ++part) {
    const number = rest.shift();
    if (part === PARTS.length || number.kind !== "number" || !lastWasWhole) return null;
    if (part > 0 && (number.sign !== "" || number.value >= 60)) return null;
    lastWasWhole = number.whole;
    degrees += number.value / PARTS[part][1];
    if (rest[0]?.kind === PARTS[part][0]) rest.shift();
  }
  if (sign && letter !== "") return null;
  return { degrees: sign === "-" || letter === "S" || letter === "W" ? -degrees : degrees, letter };
}

const indicesOf = (tokens, kind) => tokens.flatMap((token, index) => (token.kind === kind ? [index] : []));

/** Splits the tokens into latitude and longitude: two lists, or nothing. */
function halvesOf(tokens) {
  const [separator] = indicesOf(tokens, "separator");
  if (separator !== undefined) return [tokens.slice(0, separator), tokens.slice(separator + 1)];
  if (tokens.length === 0) return null;
  const letters = indicesOf(tokens, "letter");
  const degrees = indicesOf(tokens, "degree");
  const numbers = indicesOf(tokens, "number");
  let at = tokens.length;
  if (tokens[0].kind === "letter") at = letters[1] ?? tokens.length;
  else if (letters.length > 0) at = letters[0] + 1;
  else if (degrees.length === 2) at = degrees[1] - 1;
  else if (numbers.length % 2 === 0 && numbers.length > 0) at = numbers[numbers.length / 2];
  return at <= 0 || at >= tokens.length ? null : [tokens.slice(0, at), tokens.slice(at)];
}

/** Half away from zero. */
function roundedToWhole(number) {
  const size = Math.abs(number);
  const whole = Math.floor(size);
  const rounded = size - whole >= 0.5 ? whole + 1 : whole;
  return number < 0 ? -rounded : rounded;
}

/** Degrees as numbers; longitude is normalised to -180 to 180. */
export function positionOfDegrees(lat, lon) {
  const circle = 3_600_000_000;
  const east = roundedToWhole(lon * 1e7) + circle / 2;
  return { lat: roundedToWhole(lat * 1e7) + 0, lon: (((east % circle) + circle) % circle) - circle / 2 };
}

function checkedPosition(lat, lon, written) {
  const latSize = Math.abs(lat.degrees);
  const lonSize = Math.abs(lon.degrees);
  const lettersSwapped = ["E", "W"].includes(lat.letter) || ["N", "S"].includes(lon.letter);
  if (lettersSwapped || (latSize > 90 && latSize <= 180 && lonSize <= 90)) {
    throw new UsageError(
      `Latitude and longitude look swapped in ${written}: the first number is the latitude.`,
      FORM_HINT,
    );
  }
  if (latSize > 90) throw new UsageError(`The latitude in ${written} is outside -90 to 90 degrees.`);
  if (lonSize > 180) {
    throw new UsageError(
      `The longitude in ${written} is outside -180 to 180 degrees.`,
      lonSize <= 360 ? "West of Greenwich longitude is negative." : "",
    );
  }
  return positionOfDegrees(lat.degrees, lon.degrees);
}

/** Throws UsageError. */
export function positionOfText(text) {
  const unreadable = () => new UsageError(`${quoted(text)} cannot be read as a latitude and a longitude.`, FORM_HINT);
  const tokens = tokensOf(text);
  if (!tokens) throw unreadable();
  if (indicesOf(tokens, "separator").length > 1) {
    throw new UsageError(
      `${quoted(text)} has more than one comma.`,
      "Use decimal points, and one comma between the two: 44.45,-37.59.",
    );
  }
  const [lat, lon] = (halvesOf(tokens) ?? []).map(angleOf);
  if (!lat || !lon) throw unreadable();
  return checkedPosition(lat, lon, quoted(text));
}

/** "44.45 N, 37.59 W" */
export function positionText({ lat, lon }) {
  return `${degreesText(Math.abs(lat))} ${lat < 0 ? "S" : "N"}, ${degreesText(Math.abs(lon))} ${lon < 0 ? "W" : "E"}`;
}

/** "44.45,-37.59", in the form in which it is typed. */
export const positionInAddress = ({ lat, lon }) => `${degreesText(lat)},${degreesText(lon)}`;
