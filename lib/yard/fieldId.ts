/** The name that the page's element of a question has, by the question's key. */
export function fieldId(key: string): string {
  return `q-${key.replace(/[^a-zA-Z0-9]+/g, "-")}`;
}
