const FRACTIONS: Readonly<Record<string, string>> = {
  "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5",
};

/** Fractions that a keyboard has as one sign: halves, quarters, eighths, thirds and a fifth. */
export const FRACTION_SIGNS: string = Object.keys(FRACTIONS).join("");

const SIGN = new RegExp(`(\\d?)\\s*([${FRACTION_SIGNS}])`, "g");

/**
 * A text with such signs written out, apart from a whole number before them.
 *
 * @example withoutFractionSigns("6' 4½\""); // => "6' 4 1/2\""
 */
export function withoutFractionSigns(text: string): string {
  return text.replace(SIGN, (_, digit: string, sign: string) => `${digit === "" ? "" : `${digit} `}${FRACTIONS[sign]!}`);
}
