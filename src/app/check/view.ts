/** What the sound check shows, as plain data: made by the sitting, drawn by the screen. */

import type { ListenView, Notice } from '../listen/view.ts';

export interface SoundCheckView {
  readonly microphones: readonly { readonly id: string; readonly label: string }[];
  /** Null: none is open yet. */
  readonly chosen: string | null;
  /** Null while it is being opened. */
  readonly microphone: { readonly label: string; readonly sampleRate: number } | null;
  /** What the device does to the sound and cannot be kept from doing; empty: nothing. Null: not known yet. */
  readonly treated: readonly SoundTreatment[] | null;
  /** Null while the room is being listened to. */
  readonly room: {
    readonly quiet: boolean;
    /** Room noise under the softest stroke, dB; null before a stroke. */
    readonly belowDb: number | null;
    /** A steady tone in the noise, Hz. */
    readonly humHz: number | null;
  } | null;
  readonly level: Pick<ListenView['room'], 'noise' | 'lastStroke' | 'clipped'>;
  /** Strokes of which the finger's contact was heard clearly, of those heard so far, and how many are wanted. */
  readonly finger: {
    readonly clear: number;
    readonly heard: number;
    readonly wanted: number;
    /** Whether so many are enough; null while it is too early to say. */
    readonly enough: boolean | null;
  };
  readonly notices: readonly Notice[];
}

/** Closed list: what browsers and telephones do to the sound of a microphone. */
export type SoundTreatment = 'echo-cancellation' | 'noise-suppression' | 'automatic-gain' | 'bluetooth' | 'narrow-band';

export interface SoundCheckActions {
  choose(microphone: string): void;
  start(): void;
  notice(code: string, action: string): void;
}
