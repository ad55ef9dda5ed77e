/** stub */
export interface Surroundings {
  readonly about: string;
}
