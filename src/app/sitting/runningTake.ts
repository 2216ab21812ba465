/** The take that is being played: what the audio thread says of it, refined again and again as strokes come. */

import type { ListenEvent, LiveStroke } from '../../analysis/listening/events.ts';
import type { Pattern } from '../../piano/plan.ts';
import type { Decibels, Frames, Hertz, MidiNote, Seconds } from '../../units.ts';
import type { FromListener, ToListener } from '../../workers/listening.ts';
import type { Refining } from './refiner.ts';
import { shownStrokes, strokesOf, type Refined, type ShownStroke } from './soFar.ts';

type Begun = Extract<ListenEvent, { type: 'take-begun' }>;
type SoFar = Extract<FromListener, { type: 'so-far' }>;

/** A stroke so soon after another is shown as a fast one, until it is known. */
const FAST_WITHIN: Seconds = 0.4;

export class RunningTake {
  readonly #live = new Map<Frames, LiveStroke>();
  #refined: Refined | null = null;
  /** The newest stroke, before its note is known: shown at once, gone again if it is another's. */
  #struck: LiveStroke | null = null;
  /** Strokes have come that the refinement has not seen. */
  #fresh = false;
  #asking = false;

  constructor(
    readonly id: string,
    readonly begun: Begun,
    readonly asked: Pattern,
    readonly sampleRate: Hertz,
    private readonly refiner: Refining,
    private readonly tell: (message: ToListener) => void,
    private readonly changed: () => void,
  ) {}

  get midi(): MidiNote {
    return this.begun.midi;
  }

  get take(): number {
    return this.begun.take;
  }

  get strokes(): ShownStroke[] {
    const live = [...this.#live.values(), ...(this.#struck ? [this.#struck] : [])]
      .map((stroke) => ({ ...stroke, seconds: (stroke.frame - this.begun.frame) / this.sampleRate }))
      .sort((a, b) => a.seconds - b.seconds);
    return shownStrokes(this.midi, this.#refined, live);
  }

  /** A stroke that has no name yet. */
  struck(frame: Frames, levelDb: Decibels): void {
    const last = [...this.#live.keys()].at(-1) ?? -Infinity;
    const fast = frame - last <= FAST_WITHIN * this.sampleRate;
    this.#struck = { frame, levelDb, contact: 'waiting', passage: fast ? 'fast' : 'slow' };
  }

  /** It has been named: if it is this take's, `stroke` tells so. */
  named(frame: Frames): void {
    if (this.#struck?.frame === frame) this.#struck = null;
  }

  stroke(stroke: LiveStroke): void {
    this.#live.set(stroke.frame, stroke);
    this.#fresh = true;
    this.#ask();
  }

  /** The sound so far, as asked for: it is refined, unless the take has ended meanwhile. */
  async soFar({ running }: SoFar): Promise<void> {
    if (running?.take !== this.take) {
      this.#asking = false;
      return;
    }
    const seconds = running.samples.length / this.sampleRate;
    this.#fresh = false;
    const { asked, midi } = this;
    try {
      const { document } = await this.refiner.ask(
        {
          type: 'refine',
          samples: running.samples,
          sampleRate: this.sampleRate,
          file: 'so far',
          asked,
          touch: running.touch,
          firstNote: null,
          midi,
          heard: [midi],
        },
        [running.samples.buffer],
      );
      this.#refined = { document, seconds };
      const times = strokesOf(document, midi)
        .filter(({ kind }) => kind !== 'silent')
        .map((stroke) => stroke.seconds);
      this.tell({ type: 'refined', take: this.take, times, analysed: seconds });
    } finally {
      this.#asking = false;
    }
    this.changed();
    this.#ask();
  }

  #ask(): void {
    if (this.#asking || !this.#fresh) return;
    this.#asking = true;
    this.tell({ type: 'so-far' });
  }
}
