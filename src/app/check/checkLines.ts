/** The four lines of the sound check in words. */

import { figure } from '../words.ts';
import type { SoundCheckView, SoundTreatment } from './view.ts';

/** `waiting` until something is known. */
export interface CheckLine {
  readonly what: 'microphone' | 'treatment' | 'room' | 'finger';
  readonly state: 'waiting' | 'good' | 'warning';
  readonly title: string;
  readonly value: string | null;
  readonly text: string | null;
}

/** Microphone and rate; sound left untouched; room; finger on the key: in this order. */
export function checkLines(view: SoundCheckView): readonly CheckLine[] {
  return [microphoneLine(view), treatmentLine(view), roomLine(view), fingerLine(view)];
}

function microphoneLine({ microphone }: SoundCheckView): CheckLine {
  if (microphone === null) return waiting('microphone', 'Opening the microphone');
  const { label, sampleRate } = microphone;
  const rate = sampleRate / 1000;
  return {
    what: 'microphone',
    state: 'good',
    title: label,
    value: `${figure(rate, Number.isInteger(rate) ? 0 : 1)} kHz`,
    text: null,
  };
}

const TREATMENT_WORDS: Readonly<Record<SoundTreatment, string>> = {
  'echo-cancellation': 'Echo cancellation',
  'noise-suppression': 'Noise suppression',
  'automatic-gain': 'Automatic volume',
  bluetooth: 'Bluetooth',
  'narrow-band': 'A narrow band',
};

function treatmentLine({ treated }: SoundCheckView): CheckLine {
  if (treated === null) return waiting('treatment', 'Sound left untouched?');
  if (treated.length === 0) {
    return {
      what: 'treatment',
      state: 'good',
      title: 'Sound left untouched',
      value: null,
      text: 'No echo, noise or volume treatment.',
    };
  }
  if (treated.includes('bluetooth')) {
    return {
      what: 'treatment',
      state: 'warning',
      title: 'Bluetooth microphone: contacts cannot be trusted',
      value: null,
      text: 'It reshapes faint sounds. Use the phone’s own microphone, 20 to 40 cm from the hands, on a stand or cloth beside the keys.',
    };
  }
  const names = treated.map((treatment, i) => (i === 0 ? TREATMENT_WORDS[treatment] : lowered(treatment)));
  const verb = names.length === 1 ? 'stays on' : 'stay on';
  return {
    what: 'treatment',
    state: 'warning',
    title: 'This microphone changes the sound',
    value: null,
    text: `${names.join(' and ')} ${verb} and cannot be switched off here. Contacts may be lost; repeats and loudness still count.`,
  };
}

function lowered(treatment: SoundTreatment): string {
  const words = TREATMENT_WORDS[treatment];
  return `${words.charAt(0).toLowerCase()}${words.slice(1)}`;
}

function roomLine({ room }: SoundCheckView): CheckLine {
  if (room === null) return waiting('room', 'Listening to the room', 'Be still for a moment.');
  const below = room.belowDb === null ? null : `${figure(room.belowDb, 0)} dB below`;
  if (room.quiet) return { what: 'room', state: 'good', title: 'Room quiet enough', value: below, text: null };
  const hum =
    room.humHz === null
      ? ''
      : `Something hums at ${figure(room.humHz, 0)} Hz. Switch it off, or strike a little firmer. `;
  const margin =
    room.belowDb === null ? '' : `Room noise is ${figure(room.belowDb, 0)} dB below your softest stroke; 30 is enough.`;
  return {
    what: 'room',
    state: 'warning',
    title: 'Room too noisy for soft strokes',
    value: below,
    text: `${hum}${margin}`.trim() || 'Close the door, and switch off what hums.',
  };
}

function fingerLine({ finger: { clear, heard, wanted, enough } }: SoundCheckView): CheckLine {
  if (enough === null) {
    return {
      ...waiting(
        'finger',
        'Finger on the key',
        `Let a curved fingertip fall from a finger’s width, ${timesWord(wanted - heard)}.`,
      ),
      value: `${heard} of ${wanted}`,
    };
  }
  const value = `${clear} of ${heard}`;
  if (enough) {
    return { what: 'finger', state: 'good', title: 'Finger on key: clear', value, text: null };
  }
  return {
    what: 'finger',
    state: 'warning',
    title: 'Finger on key: faint',
    value,
    text: 'Let a curved fingertip fall from a finger’s width, five times. Without clear contacts repeats and loudness still count; rest and timing do not.',
  };
}

const NUMBERS: Readonly<Record<number, string>> = { 2: 'two', 3: 'three', 4: 'four', 5: 'five' };

function timesWord(n: number): string {
  return n === 1 ? 'once more' : `${NUMBERS[n] ?? n} times more`;
}

function waiting(what: CheckLine['what'], title: string, text: string | null = null): CheckLine {
  return { what, state: 'waiting', title, value: null, text };
}
