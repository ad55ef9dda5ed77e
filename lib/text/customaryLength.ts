/**
 * Whether a length is written in feet, inches or yards: the last unit of a text that `quantity` has read as a length.
 *
 * @example customaryLength("5 ft 6 in"); // => true
 */
export function customaryLength(text: string): boolean {
  return /(?:ft|foot|feet|in|inch|inches|yd|yards?|['′’"″”])$/.test(text.trimEnd());
}
