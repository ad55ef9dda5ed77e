/** Where a command writes: answers, and what went wrong or is under way. */
export interface Console {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
}
