/** Where a command writes and asks: answers, and what went wrong or is under way. */
export interface Console {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** whether `err` is read by a person at a terminal, where a line can be drawn again */
  readonly isTerminal?: boolean;
  /** what is typed, line by line; missing where nobody types */
  readonly lines?: () => AsyncIterable<string>;
}
