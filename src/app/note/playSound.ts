/**
 * Plays a stretch of a take's own sound, one at a time. Never while the microphone listens: it would be heard as strokes.
 */

import type { SoundPlace } from './view.ts';

/** Enough to hear what led to the stroke. */
const LEAD_SECONDS = 0.3;
const FULL_SCALE = 32768;

/** Where the player gets what it plays. */
export interface SoundSources {
  /** The take's sound, 16 bits, mono; null where none is kept. */
  sound(takeId: string): Promise<Int16Array | null>;
  sampleRate(takeId: string): number;
  listening(): boolean;
  /** Told at every start and end: what is playing, null for nothing. */
  changed(playing: SoundPlace | null): void;
}

/** A stretch of samples as a source in `context`, not yet started; null where it lies outside the samples. */
export function stretchSource(
  context: BaseAudioContext,
  samples: Int16Array,
  sampleRate: number,
  seconds: number,
  lengthSeconds: number,
): AudioBufferSourceNode | null {
  const from = Math.max(0, Math.round((seconds - LEAD_SECONDS) * sampleRate));
  const stretch = samples.subarray(from, from + Math.round(lengthSeconds * sampleRate));
  if (stretch.length === 0) return null;
  const buffer = context.createBuffer(1, stretch.length, sampleRate);
  buffer.copyToChannel(
    Float32Array.from(stretch, (value) => value / FULL_SCALE),
    0,
  );
  const source = context.createBufferSource();
  source.buffer = buffer;
  source.connect(context.destination);
  return source;
}

export class SoundPlayer {
  #context: AudioContext | null = null;
  #source: AudioBufferSourceNode | null = null;
  /** Grows with every start and stop, so that a sound which comes late from the store is let go. */
  #turn = 0;

  constructor(private readonly sources: SoundSources) {}

  /**
   * Plays from a little before `seconds` for `lengthSeconds`; what played before stops.
   * @returns whether it plays: not while listening, not without sound, not where another was asked for meanwhile.
   */
  async play(takeId: string, seconds: number, lengthSeconds: number): Promise<boolean> {
    this.stop();
    if (this.sources.listening()) return false;
    const turn = this.#turn;
    const samples = await this.sources.sound(takeId);
    if (samples === null || turn !== this.#turn || this.sources.listening()) return false;
    const context = (this.#context ??= new AudioContext());
    await context.resume();
    if (turn !== this.#turn) return false;
    const source = stretchSource(context, samples, this.sources.sampleRate(takeId), seconds, lengthSeconds);
    if (source === null) return false;
    source.onended = () => {
      if (this.#source === source) this.stop();
    };
    this.#source = source;
    source.start();
    this.sources.changed({ takeId, seconds });
    return true;
  }

  /** Silence at once. */
  stop(): void {
    this.#turn += 1;
    const source = this.#source;
    this.#source = null;
    if (source === null) return;
    source.stop();
    source.disconnect();
    this.sources.changed(null);
  }

  /** Silence, and the device's sound is given back. */
  async close(): Promise<void> {
    this.stop();
    await this.#context?.close();
    this.#context = null;
  }
}
