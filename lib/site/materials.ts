/** stub */
export interface Materials {
  readonly about: string;
}
