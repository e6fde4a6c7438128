// Numbers as the command prints them: quotients of whole numbers, rounded half away from zero on
// the exact decimal. A quantity is {n, d}: n / d, of BigInts, d above 0. schema/text/rounding.hpp
// describes the same rounding, and the width within which a value counts as a tie.

/** Values within 1 / TIES of the last place count as a tie. */
const TIES = 10_000_000n;

export const quantity = (numerator, denominator = 1) => ({ n: BigInt(numerator), d: BigInt(denominator) });

export const times = (a, numerator, denominator = 1) => ({ n: a.n * BigInt(numerator), d: a.d * BigInt(denominator) });

export const sum = (a, b) => ({ n: a.n * b.d + b.n * a.d, d: a.d * b.d });

export const ratio = (a, b) => ({ n: a.n * b.d, d: a.d * b.n });

export const isGreater = (a, b) => a.n * b.d > b.n * a.d;

/** For drawing; never for displayed numbers. */
export const approximately = (a) => Number(a.n) / Number(a.d);

/** |scaled| / 10^decimals with exactly that many decimals. */
function scaledText(scaled, decimals) {
  const size = scaled < 0n ? -scaled : scaled;
  const digits = String(size).padStart(decimals + 1, "0");
  const whole = digits.slice(0, digits.length - decimals);
  const rest = digits.slice(digits.length - decimals);
  return (scaled < 0n ? "-" : "") + whole + (decimals === 0 ? "" : "." + rest);
}

/** Exactly that many decimals, and never "-0.0". */
export function fixedText({ n, d }, decimals) {
  const size = (n < 0n ? -n : n) * 10n ** BigInt(decimals);
  const whole = (2n * size * TIES + d * (TIES + 2n)) / (2n * d * TIES);
  return scaledText(n < 0n ? -whole : whole, decimals);
}

/** Whole 1e-7 units in degrees without trailing zeros: "44.45", "-123". */
export function degreesText(e7) {
  return scaledText(BigInt(e7), 7).replace(/\.?0+$/, "");
}
