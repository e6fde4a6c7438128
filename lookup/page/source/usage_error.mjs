/** An input that cannot be answered: one sentence, and optionally a hint. */
export class UsageError extends Error {
  constructor(message, hint = "") {
    super(message);
    this.hint = hint;
  }
}
