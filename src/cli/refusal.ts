/**
 * How a command ends early, other than by a fault of its own: the exit codes hang on these two.
 */

/** Something the person can mend: a bad argument, unreadable input, unwritable output. Exit code 2. */
export class Refusal extends Error {
  override readonly name = 'Refusal';

  /**
   * @param thing - the argument or file, as the person named it
   * @param found - what was found
   * @param expected - what was expected instead
   */
  constructor(thing: string, found: string, expected: string) {
    super(`${thing}: ${found}; expected ${expected}`);
  }
}

/** Nobody reads standard output any more, as in `evenfall analyse a.wav | head -1`. Silent, exit code 0. */
export class ClosedPipe extends Error {
  override readonly name = 'ClosedPipe';
}

/** The code of a system error such as ENOENT, or null for any other value. */
export function systemCode(error: unknown): string | null {
  return error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : null;
}
