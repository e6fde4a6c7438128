/** What a person typed cannot be answered: one sentence, and perhaps a hint of what to do. */
export class UsageError extends Error {
  constructor(message, hint = "") {
    super(message);
    this.hint = hint;
  }
}
