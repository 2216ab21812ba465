/**
 * What cannot be done with what was given, and is the person's to mend: what was found, what was expected.
 */
export class Refused extends Error {
  override readonly name = 'Refused';

  constructor(
    readonly found: string,
    readonly expected: string,
  ) {
    super(`${found}; expected ${expected}`);
  }
}
