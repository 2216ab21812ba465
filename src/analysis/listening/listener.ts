/**
 * Listening while a technician plays: the audio thread's strokes and sound in, notes and takes out.
 *
 * Every stroke is named as soon as enough of it has sounded; takes are cut by strokes/taking; the running take's sound is
 * handed on in stretches, and whole when the take has ended. No clock of its own: time is the sound that has come.
 *
 * Conventions: inside, frames count from the beginning of listening; those of the audio thread leave out what never came.
 */

import { TakeCutter, type Asked, type Cut } from '../../strokes/taking.ts';
import type { Touch } from '../../strokes/types.ts';
import { fromSound16 } from '../../signal/sound16.ts';
import type { Decibels, Frames, Hertz, MidiNote, Seconds } from '../../units.ts';
import type { ClockGap, ListenEvent, LiveStroke } from './events.ts';
import { LevelMeter } from './level.ts';
import { BEFORE, FIRST_LOOK, LiveNames, SECOND_LOOK } from './liveNames.ts';
import { SoundBuffer } from './soundBuffer.ts';

/** What the round asks for at the beginning. */
export interface ListenerOptions {
  readonly sampleRate: Hertz;
  /** Notes that have a take in this round already. */
  readonly heard: readonly MidiNote[];
  readonly asked: Asked;
  readonly touch: Touch;
  /** Strokes of a complete fast passage. */
  readonly fastWanted: number;
}

/** What the audio thread tells: see the worklet's messages, to which this is held by the worker. */
export type Heard =
  | { readonly type: 'samples'; readonly frame: Frames; readonly samples: Float32Array }
  | { readonly type: 'stroke'; readonly frame: Frames; readonly level: Decibels }
  | { readonly type: 'contact'; readonly stroke: Frames; readonly contact: Frames }
  | { readonly type: 'gap'; readonly frame: Frames; readonly missing: Frames };

/** Sound kept before a take's first stroke: for its contact, and for the room. */
const LEAD: Seconds = 0.8;
/** Of the take before, this much after its last stroke is not in the next one's sound. */
const AFTER_LAST: Seconds = 0.15;
const PIECE: Seconds = 1;
/** Sound held while no take runs: a take may begin with a stroke of so long ago. */
const HELD: Seconds = 6;
/** The audio thread tells a stroke at most so long after it. */
const DETECTOR_DELAY: Seconds = 0.12;
/** A stroke so soon after is named by what sounded until then, if it is at least this. */
const LEAST_LOOK: Seconds = 0.06;
/** Fainter than the loudest of the last seconds by this is no stroke. */
const FAINT: Decibels = 34;
const FAINT_WITHIN: Seconds = 3;
/** A longer gap ends the running take: nothing is known of what was played meanwhile. */
const LONGEST_GAP: Seconds = 1;

/** A stroke at the very end of what was analysed may not have been found yet. */
const UNSURE_END: Seconds = 0.15;

interface Waiting {
  readonly frame: Frames;
  readonly level: Decibels;
}

interface Look {
  readonly midi: MidiNote | null;
  readonly alike: boolean;
  readonly clear: boolean;
}

interface RunningTake {
  readonly take: number;
  readonly from: Frames;
  readonly asked: Asked;
  readonly touch: Touch;
  readonly strokes: Map<Frames, LiveStroke>;
  readonly gaps: ClockGap[];
  pieces: number;
  /** Up to where its sound has been handed on. */
  told: Frames;
}

export class Listener {
  readonly #rate: Hertz;
  readonly #buffer: SoundBuffer;
  readonly #names = new LiveNames();
  readonly #level: LevelMeter;
  readonly #cutter: TakeCutter;
  #asked: Asked;
  #touch: Touch;
  #waiting: Waiting[] = [];
  #recent: Waiting[] = [];
  /** By stroke: whether its contact was heard, and how loud it was. */
  readonly #contacts = new Map<Frames, boolean>();
  readonly #levels = new Map<Frames, Decibels>();
  /** The stroke that was looked at early, and the last look. */
  #triedFirst: Frames = -1;
  #looked: (Look & { readonly frame: Frames; readonly sounding: Seconds }) | null = null;
  #running: RunningTake | null = null;
  #takes = 0;
  /** The last stroke of the take before: a take's sound begins a little after it, though the two may overlap. */
  #lastStroke: Frames = -Infinity;
  /** Frames that never came so far. */
  #missing: Frames = 0;
  readonly #jumps: { readonly seen: Frames; readonly missing: Frames }[] = [];
  readonly #out: ListenEvent[] = [];

  constructor({ sampleRate, heard, asked, touch, fastWanted }: ListenerOptions) {
    this.#rate = sampleRate;
    this.#buffer = new SoundBuffer(Math.round(2 * HELD * sampleRate));
    this.#level = new LevelMeter(sampleRate);
    this.#cutter = new TakeCutter(heard, asked, fastWanted);
    this.#asked = asked;
    this.#touch = touch;
  }

  /** Takes in what the audio thread tells, in its order; gives what there is to say. */
  hear(heard: Heard): ListenEvent[] {
    switch (heard.type) {
      case 'samples':
        this.#buffer.append(heard.samples);
        this.#out.push(...this.#level.process(heard.samples).map((level) => ({ type: 'level' as const, ...level })));
        break;
      case 'stroke':
        this.#struck({ frame: this.#frameOf(heard.frame), level: heard.level });
        break;
      case 'contact':
        this.#contact(this.#frameOf(heard.stroke), heard.contact >= 0);
        break;
      case 'gap':
        this.#gap(heard.frame, heard.missing);
    }
    this.#goOn();
    return this.#out.splice(0);
  }

  /** What is asked from the next take on. */
  ask(asked: Asked, touch: Touch, fastWanted: number): void {
    this.#asked = asked;
    this.#touch = touch;
    this.#cutter.ask(asked, fastWanted);
  }

  /** The note has no take in this round any more: its only one was taken back. */
  forget(midi: MidiNote): void {
    this.#cutter.forget(midi);
  }

  /**
   * What the refinement found of take `take` in its sound so far, `analysed` seconds long: the times of its sounded strokes, from
   * the beginning of its sound. Says nothing of a take that has ended.
   */
  refined(take: number, times: readonly Seconds[], analysed: Seconds): void {
    if (this.#running?.take !== take) return;
    const from = this.#running.from / this.#rate;
    this.#cutter.refined(
      times.map((time) => from + time),
      from + analysed - UNSURE_END,
    );
  }

  /** Ends the running take here. */
  cut(): ListenEvent[] {
    this.#apply(this.#cutter.cut(this.#now()));
    return this.#out.splice(0);
  }

  /** Ends the running take and begins none until {@link goOn}. */
  rest(): ListenEvent[] {
    this.#apply(this.#cutter.rest(this.#now()));
    return this.#out.splice(0);
  }

  goOn(): void {
    this.#cutter.goOn();
  }

  /** The running take's sound so far, its note and what was asked; null while none runs. */
  running(): { take: number; midi: MidiNote; asked: Asked; touch: Touch; samples: Int16Array<ArrayBuffer> } | null {
    const running = this.#running;
    const midi = this.#cutter.midi;
    if (!running || midi === null) return null;
    const { take, asked, touch, from } = running;
    return { take, midi, asked, touch, samples: this.#buffer.slice(from, this.#buffer.end) };
  }

  /** The sound of the last seconds, a few at most. */
  recent(): Int16Array<ArrayBuffer> {
    const from = Math.max(this.#buffer.from, this.#buffer.end - Math.round(HELD * this.#rate));
    return this.#buffer.slice(from, this.#buffer.end);
  }

  #now(): Seconds {
    return this.#buffer.end / this.#rate;
  }

  /** A frame of the audio thread among those counted here. */
  #frameOf(seen: Frames): Frames {
    let frame = seen;
    for (const jump of this.#jumps) if (jump.seen <= seen) frame += jump.missing;
    return frame;
  }

  #struck(stroke: Waiting): void {
    this.#recent = this.#recent.filter(({ frame }) => stroke.frame - frame < FAINT_WITHIN * this.#rate);
    const loudest = Math.max(...this.#recent.map(({ level }) => level));
    this.#recent.push(stroke);
    if (stroke.level <= loudest - FAINT) return;
    this.#waiting.push(stroke);
    this.#out.push({ type: 'struck', frame: stroke.frame, levelDb: stroke.level });
  }

  #contact(frame: Frames, heard: boolean): void {
    this.#contacts.set(frame, heard);
    this.#out.push({ type: 'contact', frame, heard });
    const stroke = this.#running?.strokes.get(frame);
    if (stroke) this.#tell({ ...stroke, contact: heard ? 'heard' : 'none' });
  }

  #gap(seen: Frames, missing: Frames): void {
    this.#out.push({ type: 'gap', frame: seen + this.#missing, missing });
    if (missing > LONGEST_GAP * this.#rate) this.#apply(this.#cutter.cut(this.#now()));
    this.#running?.gaps.push({ frame: this.#buffer.end - this.#running.from, frames: missing });
    this.#jumps.push({ seen, missing });
    this.#missing += missing;
    this.#buffer.appendZeros(missing);
  }

  /** Whatever has become possible: names, cuts, stretches of sound. */
  #goOn(): void {
    for (let next = this.#nameable(); next !== null; next = this.#nameable()) this.#name(next.stroke, next.sounding);
    const settled = Math.min(this.#now() - DETECTOR_DELAY, (this.#waiting[0]?.frame ?? Infinity) / this.#rate);
    this.#apply(this.#cutter.advance(settled));
    if (this.#running) this.#handOn(this.#running, this.#cutter.settledBefore(settled) * this.#rate);
    const needed = this.#running?.from ?? this.#buffer.end - HELD * this.#rate;
    this.#buffer.keepFrom(Math.floor(Math.min(needed, (this.#waiting[0]?.frame ?? Infinity) - this.#rate)));
    for (const known of [this.#contacts, this.#levels]) {
      for (const frame of known.keys()) {
        if (frame >= this.#buffer.from) break;
        known.delete(frame);
      }
    }
  }

  /** The earliest stroke of which enough has sounded, and how much. */
  #nameable(): { stroke: Waiting; sounding: Seconds } | null {
    const [stroke, after] = this.#waiting;
    if (!stroke) return null;
    const come = (this.#buffer.end - stroke.frame) / this.#rate;
    const until = after ? (after.frame - stroke.frame) / this.#rate - 0.01 : Infinity;
    if (until < SECOND_LOOK) return { stroke, sounding: Math.max(LEAST_LOOK, Math.min(until, come)) };
    if (come >= SECOND_LOOK) return { stroke, sounding: SECOND_LOOK };
    if (come < FIRST_LOOK || this.#triedFirst === stroke.frame) return null;
    this.#triedFirst = stroke.frame;
    // A clear name needs no second look; within a take neither, where the attack says enough.
    return this.#look(stroke, FIRST_LOOK).clear ? { stroke, sounding: FIRST_LOOK } : null;
  }

  #look(stroke: Waiting, sounding: Seconds): Look {
    if (this.#looked?.frame === stroke.frame && this.#looked.sounding === sounding) return this.#looked;
    const { samples, at } = this.#around(stroke, sounding);
    const alike = this.#cutter.midi !== null && this.#names.isAlike(samples, this.#rate, at);
    const named = alike
      ? { midi: this.#cutter.midi, clear: true }
      : this.#names.name(samples, this.#rate, at, sounding);
    this.#looked = { frame: stroke.frame, sounding, alike, ...named };
    return this.#looked;
  }

  #around({ frame }: Waiting, sounding: Seconds): { samples: Float32Array; at: Seconds } {
    const from = Math.max(this.#buffer.from, frame - Math.round(BEFORE * this.#rate));
    const to = Math.min(this.#buffer.end, frame + Math.round((sounding + BEFORE) * this.#rate));
    return { samples: fromSound16(this.#buffer.slice(from, to)), at: (frame - from) / this.#rate };
  }

  #name(stroke: Waiting, sounding: Seconds): void {
    const { midi, alike } = this.#look(stroke, sounding);
    this.#waiting.shift();
    this.#out.push({ type: 'named', frame: stroke.frame, midi });
    const before = this.#cutter.midi;
    this.#levels.set(stroke.frame, stroke.level);
    this.#apply(this.#cutter.stroke({ seconds: stroke.frame / this.#rate, midi, alike }));
    const now = this.#cutter.midi;
    if (now !== before) this.#names.forgetAttacks();
    if (now !== null && now === midi && !alike) {
      const { samples, at } = this.#around(stroke, sounding);
      this.#names.remember(samples, this.#rate, at);
    }
  }

  #apply(cuts: readonly Cut[]): void {
    for (const cut of cuts) {
      switch (cut.type) {
        case 'begun': {
          const free = this.#lastStroke + Math.round(AFTER_LAST * this.#rate);
          const from = Math.max(free, this.#buffer.from, Math.round((cut.seconds - LEAD) * this.#rate));
          const [asked, touch] = [this.#asked, this.#touch];
          this.#running = {
            take: ++this.#takes,
            from,
            asked,
            touch,
            strokes: new Map(),
            gaps: [],
            pieces: 0,
            told: from,
          };
          this.#out.push({ type: 'take-begun', take: this.#takes, midi: cut.midi, asked, frame: from });
          break;
        }
        case 'stroke': {
          const frame = Math.round(cut.seconds * this.#rate);
          const contact = this.#contacts.get(frame);
          const levelDb = this.#levels.get(frame);
          // A stroke that the refinement alone has found: its document tells of it.
          if (levelDb === undefined) break;
          this.#tell({
            frame,
            levelDb,
            contact: contact === undefined ? 'waiting' : contact ? 'heard' : 'none',
            passage: cut.passage,
          });
          break;
        }
        case 'stray':
          this.#out.push({ type: 'stray', midi: cut.midi });
          break;
        case 'ended':
          this.#end(cut);
      }
    }
  }

  #tell(stroke: LiveStroke): void {
    const running = this.#running;
    if (!running) return;
    running.strokes.set(stroke.frame, stroke);
    this.#out.push({ type: 'stroke', take: running.take, stroke });
  }

  #end({ midi, toSeconds, worth }: Extract<Cut, { type: 'ended' }>): void {
    const running = this.#running!;
    const to = Math.min(this.#buffer.end, Math.max(running.told, Math.round(toSeconds * this.#rate)));
    this.#handOn(running, to, true);
    const { take, asked, touch, from, pieces, gaps } = running;
    this.#running = null;
    this.#lastStroke = Math.max(...running.strokes.keys());
    this.#out.push({
      type: 'take-ended',
      take,
      midi,
      asked,
      touch,
      worth,
      samples: this.#buffer.slice(from, to),
      pieces,
      gaps: gaps.filter(({ frame }) => frame < to - from),
      farTuning: this.#names.farTuning !== null,
    });
  }

  /** Hands on the take's sound up to `to`: whole stretches, and the rest of it at the end. */
  #handOn(running: RunningTake, to: Frames, all = false): void {
    const length = Math.round(PIECE * this.#rate);
    while (running.told + length <= to || (all && running.told < to)) {
      const end = Math.min(running.told + length, to);
      const samples = this.#buffer.slice(running.told, end);
      this.#out.push({ type: 'piece', take: running.take, index: running.pieces++, samples });
      running.told = end;
    }
  }
}
