/** A mistake in the command line or its surroundings: told in one line, ends with 2. */
export class CannotRun extends Error {
  readonly hint: string | undefined;

  constructor(message: string, hint?: string) {
    super(message);
    this.hint = hint;
  }
}
