/** stub */
export interface Upkeep {
  readonly about: string;
}
