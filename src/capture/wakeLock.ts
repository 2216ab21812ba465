/**
 * Keeps the screen awake while both hands are at the keys. Browsers take the lock away whenever the page is hidden, so it is
 * asked for again each time the page comes back. Source: W3C Screen Wake Lock API.
 */

/**
 * - `held`: the screen stays on
 * - `waiting`: wanted, and lost while the page is hidden; asked for when it comes back
 * - `refused`: wanted, and the screen may sleep: the browser or a low battery said no
 * - `unavailable`: wanted, but this browser has no such lock; the screen may sleep
 * - `released`: not wanted
 */
export type WakeState = 'held' | 'waiting' | 'refused' | 'unavailable' | 'released';

/** Whether the page must say that the screen may sleep. */
export function maySleep(state: WakeState): boolean {
  return state === 'refused' || state === 'unavailable';
}

/** One screen wake lock, held again and again for as long as it is wanted. */
export class WakeLock {
  private said: WakeState = 'released';
  private sentinel: WakeLockSentinel | null = null;
  private wanted = false;
  private asking = false;

  /** @param changed is told every new state. */
  constructor(private readonly changed: (state: WakeState) => void) {}

  get state(): WakeState {
    return this.said;
  }

  /** Wants the screen to stay on from now on; resolves when the browser has answered. */
  async hold(): Promise<void> {
    if (!this.wanted) {
      this.wanted = true;
      document.addEventListener('visibilitychange', this.returned);
    }
    await this.ask();
  }

  /** Lets the screen sleep again. */
  async release(): Promise<void> {
    this.wanted = false;
    document.removeEventListener('visibilitychange', this.returned);
    await this.drop();
    this.say('released');
  }

  private readonly returned = () => {
    void this.ask();
  };

  private async ask(): Promise<void> {
    if (!this.wanted || this.asking || this.sentinel) return;
    if (document.visibilityState !== 'visible') return this.say('waiting');
    // Absent in some browsers and in insecure pages, whatever the declarations say.
    const lock = navigator.wakeLock as Navigator['wakeLock'] | undefined;
    if (!lock) return this.say('unavailable');
    this.asking = true;
    try {
      const sentinel = await lock.request('screen');
      this.sentinel = sentinel;
      sentinel.addEventListener('release', () => this.lost(sentinel));
    } catch {
      this.sentinel = null;
    } finally {
      this.asking = false;
    }
    if (!this.wanted) return this.drop();
    this.say(this.sentinel ? 'held' : 'refused');
  }

  private lost(sentinel: WakeLockSentinel): void {
    if (this.sentinel !== sentinel) return;
    this.sentinel = null;
    if (this.wanted) this.say(document.visibilityState === 'visible' ? 'refused' : 'waiting');
  }

  private async drop(): Promise<void> {
    const { sentinel } = this;
    this.sentinel = null;
    await sentinel?.release();
  }

  private say(state: WakeState): void {
    if (state === this.said) return;
    this.said = state;
    this.changed(state);
  }
}
