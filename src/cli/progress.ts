/** How far long work has come: one line on standard error that is written over, on a terminal only. */

const WIDEST = 79;

export class Progress {
  #done = 0;
  #shown = false;

  /**
   * @param of - steps in all
   * @param word - what is done with each, as in "heard 3 of 12"
   */
  constructor(
    private readonly of: number,
    private readonly word: string,
  ) {}

  /** One more is done. */
  step(name: string): void {
    this.#done++;
    if (!process.stderr.isTTY || this.of < 2) return;
    const words = `${this.word} ${this.#done} of ${this.of}: ${name}`;
    process.stderr.write(`\r${words.slice(0, WIDEST).padEnd(WIDEST)}`);
    this.#shown = true;
  }

  /** Clears the line, before anything else is written; the next step writes it again. */
  clear(): void {
    if (this.#shown) process.stderr.write(`\r${' '.repeat(WIDEST)}\r`);
    this.#shown = false;
  }
}
