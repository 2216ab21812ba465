/** Work that is done again when it is asked for, never twice at once: what is asked for meanwhile is done once more after it. */

export class AgainAndAgain {
  #running: Promise<void> | null = null;
  #wanted = false;

  /** @param work never rejects. @param done is called when nothing is wanted any more. */
  constructor(
    private readonly work: () => Promise<void>,
    private readonly done: () => void,
  ) {}

  /** What runs now, until all that was asked for is done; null while nothing does. */
  get running(): Promise<void> | null {
    return this.#running;
  }

  ask(): void {
    this.#wanted = true;
    this.#running ??= this.#run().finally(() => {
      this.#running = null;
      this.done();
    });
  }

  async #run(): Promise<void> {
    while (this.#wanted) {
      this.#wanted = false;
      await this.work();
    }
  }
}
