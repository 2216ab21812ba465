/** The sound check: what the microphone does, how quiet the room is, and how clearly the finger is heard in five strokes. */

import type { AnalysisDocument } from '../../analysis/document.ts';
import type { MicrophoneChoice } from '../../capture/microphone.ts';
import type { Decibels, Frames } from '../../units.ts';
import type { FromListener } from '../../workers/listening.ts';
import type { SoundCheckView, SoundTreatment } from '../check/view.ts';
import type { LiveEar } from '../sitting/liveEar.ts';
import { earNotice } from '../sitting/notices.ts';
import type { Refining } from '../sitting/refiner.ts';

const WANTED = 5;
/** Of five strokes so many clear contacts are enough. */
const ENOUGH = 4;
/** Fainter than the loudest stroke by this is a noise beside it. */
const STROKE_WITHIN: Decibels = 20;
const QUIET_UNDER: Decibels = 30;
/** Between strokes a room is never so quiet: something takes the quiet away. */
const NO_ROOM: Decibels = -98;
const LOWEST: Decibels = -90;

export class SoundCheck {
  #strokes = new Map<Frames, { readonly levelDb: Decibels; heard: boolean | null }>();
  #roomDb: Decibels | null = null;
  #lastDb: Decibels | null = null;
  #clipped = false;
  #warnings: AnalysisDocument['warnings'] | null = null;
  #looking = false;

  constructor(
    private readonly ear: LiveEar,
    private readonly refiner: Refining,
    private readonly changed: () => void,
  ) {}

  heard(event: FromListener): void {
    switch (event.type) {
      case 'level':
        this.#roomDb = event.roomDb;
        this.#clipped = event.clipped;
        break;
      case 'struck':
        this.#lastDb = event.levelDb;
        this.#strokes.set(event.frame, { levelDb: event.levelDb, heard: null });
        break;
      case 'contact': {
        const stroke = this.#strokes.get(event.frame);
        if (stroke) stroke.heard = event.heard;
        // Once enough has been played, the sound itself is looked at: band, hum, clipping.
        if (this.#counted().length >= WANTED && !this.#looking) {
          this.#looking = true;
          this.ear.tell({ type: 'recent' });
        }
        break;
      }
      case 'recent':
        if (this.#looking) void this.#look(event.samples);
        return;
      default:
        return;
    }
    this.changed();
  }

  view(microphones: readonly MicrophoneChoice[]): SoundCheckView {
    const { microphone } = this.ear;
    const strokes = this.#counted();
    const clear = strokes.filter(({ heard }) => heard === true).length;
    const under = this.#roomDb === null || strokes.length === 0 ? null : softest(strokes) - this.#roomDb;
    const stops = earNotice(this.ear.state, this.ear.error, null);
    const listening = this.ear.state === 'listening' && microphone !== null;
    return {
      microphones: microphones.map(({ deviceId, label }, i) => ({
        id: deviceId,
        label: label ?? `Microphone ${i + 1}`,
      })),
      chosen: microphone?.deviceId ?? null,
      microphone: listening
        ? { label: microphone.label ?? 'Microphone', sampleRate: microphone.sampleRate ?? this.ear.sampleRate }
        : null,
      treated: listening ? this.#treated() : null,
      room:
        this.#roomDb === null
          ? null
          : {
              quiet: under === null || under >= QUIET_UNDER,
              belowDb: under === null ? null : Math.round(under),
              humHz: this.#hum(),
            },
      level: { noise: share(this.#roomDb), lastStroke: share(this.#lastDb), clipped: this.#clipped },
      finger: {
        clear: Math.min(clear, WANTED),
        heard: Math.min(strokes.length, WANTED),
        wanted: WANTED,
        enough: strokes.length < WANTED ? null : clear >= ENOUGH,
      },
      notices: stops ? [stops] : [],
    };
  }

  /** The last strokes, noises beside them left out. */
  #counted() {
    const all = [...this.#strokes.values()];
    const loudest = Math.max(...all.map(({ levelDb }) => levelDb));
    return all.filter(({ levelDb, heard }) => levelDb > loudest - STROKE_WITHIN && heard !== null).slice(-WANTED);
  }

  #treated(): SoundTreatment[] {
    const { treatments, headset, sampleRate } = this.ear.microphone!;
    const treated: SoundTreatment[] = [];
    if (treatments.echo === 'on') treated.push('echo-cancellation');
    if (treatments.noise === 'on' || (this.#roomDb !== null && this.#roomDb < NO_ROOM))
      treated.push('noise-suppression');
    if (treatments.gain === 'on') treated.push('automatic-gain');
    const narrow = (sampleRate !== null && sampleRate <= 16_000) || this.#warns('narrow-band');
    if (headset) treated.push('bluetooth');
    else if (narrow) treated.push('narrow-band');
    return treated;
  }

  #warns(code: string): boolean {
    return this.#warnings?.some((warning) => warning.code === code) ?? false;
  }

  #hum(): number | null {
    const hum = this.#warnings?.find(({ code }) => code === 'hum');
    const hertz = hum ? /(\d+(?:\.\d+)?) Hz/.exec(hum.message) : null;
    return hertz ? Number(hertz[1]) : null;
  }

  async #look(samples: Int16Array<ArrayBuffer>): Promise<void> {
    const sampleRate = this.ear.sampleRate;
    const answer = await this.refiner
      .ask(
        {
          type: 'refine',
          samples,
          sampleRate,
          file: 'sound check',
          asked: 'slow-fast',
          touch: 'finger',
          firstNote: null,
          midi: 0,
          heard: [],
        },
        [samples.buffer],
      )
      .catch(() => null);
    this.#warnings = answer?.document.warnings ?? null;
    this.#looking = false;
    this.changed();
  }
}

function softest(strokes: readonly { readonly levelDb: Decibels }[]): Decibels {
  return Math.min(...strokes.map(({ levelDb }) => levelDb));
}

function share(db: Decibels | null): number | null {
  return db === null ? null : Math.min(1, Math.max(0, (db - LOWEST) / -LOWEST));
}
