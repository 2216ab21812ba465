/** What concerns the ear: microphone, sound check, listening, and the workers that analyse what it hears. */

import { listMicrophones, type MicrophoneChoice } from '../../capture/microphone.ts';
import { StoreError } from '../../storage/store.ts';
import type { FromListener } from '../../workers/listening.ts';
import type { ListenView } from '../listen/view.ts';
import { LiveEar } from '../sitting/liveEar.ts';
import { listenView } from '../sitting/listenView.ts';
import { Refiner } from '../sitting/refiner.ts';
import type { Sitting } from '../sitting/sitting.ts';
import { Board } from './board.ts';
import { SoundCheck } from './soundCheck.ts';

export type Screen =
  | 'home'
  | 'file'
  | 'start'
  | 'check'
  | 'listen'
  | 'round'
  | 'compass'
  | 'note'
  | 'work'
  | 'backup'
  | 'report'
  | 'seasons'
  | FormScreen;
/** Forms open over another screen. */
export type FormScreen = 'piano' | 'visit' | 'gauges';

const TICK_MS = 1000;

export abstract class Hearing extends Board {
  screen: Screen = 'home';
  microphones: readonly MicrophoneChoice[] = [];
  sitting: Sitting | null = null;
  check: SoundCheck | null = null;
  view: ListenView | null = null;
  /** Open in another tab, or to be looked at only. */
  readOnly = false;
  protected ear: LiveEar | null = null;
  #refiner: Refiner | null = null;
  #judge: Refiner | null = null;
  #ticking: ReturnType<typeof setInterval> | undefined;

  /** Opens the microphone, for the sound check or to go on listening. */
  async listen(screen: 'check' | 'listen'): Promise<void> {
    if (!this.sitting || this.readOnly || this.sitting.book.round.closedAt !== null) return;
    this.screen = screen;
    if (!this.ear) {
      const heard = () => this.sitting?.book.playedNotes ?? [];
      const ear = (this.ear = new LiveEar({
        changed: () => this.changed(),
        said: (event) => this.#said(event),
        heard,
      }));
      this.check = new SoundCheck(ear, this.refining(), () => this.changed());
      this.#ticking ??= setInterval(() => this.changed(), TICK_MS);
      this.changed();
      await ear.listen(null);
      this.microphones = await listMicrophones().catch(() => []);
    }
    if (screen === 'listen') this.beginListening();
    this.changed();
  }

  async chooseMicrophone(deviceId: string): Promise<void> {
    await this.ear?.listen(deviceId);
  }

  /** From the sound check to the keys. */
  beginListening(): void {
    this.screen = 'listen';
    this.check = null;
    void this.sitting?.heardBy(this.ear?.microphone?.label ?? null);
    this.sitting?.goOn();
    this.changed();
  }

  /** The microphone again, after a call, a pulled plug or a refusal. */
  async again(): Promise<void> {
    await this.ear?.again();
    this.changed();
  }

  /** Ends listening and shows the round's notes; what is being played is kept if it counts. */
  async stopListening(): Promise<void> {
    this.screen = 'round';
    await this.closeEar();
    this.changed();
  }

  /** Ends listening; what was being played is heard and kept before. */
  protected async closeEar(): Promise<void> {
    const { sitting } = this;
    if (this.ear && sitting) {
      this.ear.tell({ type: 'rest' });
      // What was running ends, is heard and kept, before the worker goes.
      await this.ear.silent();
      await sitting.settled();
    }
    await this.ear?.close();
    this.ear = null;
    this.check = null;
    this.view = null;
    clearInterval(this.#ticking);
    this.#ticking = undefined;
  }

  /** Judges rounds, which takes longer: a worker of its own. */
  protected judging(): Refiner {
    this.#judge ??= new Refiner();
    return this.#judge;
  }

  protected refining(): Refiner {
    this.#refiner ??= new Refiner();
    return this.#refiner;
  }

  protected prepare(): void {
    const { sitting } = this;
    const ear = this.ear;
    if (!sitting || !ear || this.screen !== 'listen') return;
    const facts = { state: ear.state, error: ear.error, maySleep: ear.maySleep };
    this.view = listenView(sitting, facts, new Date(), this.view);
  }

  #said(event: FromListener): void {
    if (event.type === 'failed') this.warn('listening', 'Listening broke', new StoreError('failed', event.message, ''));
    if (this.check) this.check.heard(event);
    // Levels and gaps matter from the beginning; takes begin only after the sound check.
    this.sitting?.heard(event);
  }
}
