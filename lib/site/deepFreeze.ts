/**
 * Freezes a value and all that it holds, and gives it back. What is frozen already is taken to be so throughout; a typed array
 * (the readings of a soil test) cannot be.
 */
export function deepFreeze<T>(value: T): T {
  if (typeof value !== "object" || value === null || ArrayBuffer.isView(value) || Object.isFrozen(value)) return value;
  Object.freeze(value);
  for (const inner of Object.values(value)) deepFreeze(inner);
  return value;
}
