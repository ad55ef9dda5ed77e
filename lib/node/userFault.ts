/** Something a person can put right; its message says what, and needs no stack. */
export class UserFault extends Error {
  constructor(message: string) {
    super(message);
    this.name = "UserFault";
  }
}
