/**
 * What a practice recording shall hold, with every default, and the checks that refuse a plan that makes no sense.
 */

import { keyName, isKey } from '../piano/keys.ts';
import type { Cents, Decibels, Hertz, MidiNote, Millimetres, Seconds } from '../units.ts';
import { FAULTS, type FaultName } from './faults.ts';

export interface PassagePlan {
  readonly kind: 'slow' | 'fast' | 'gentle';
  readonly strokes: number;
  /** Strokes per second; slow 1, fast 6, gentle 0.8. */
  readonly ratePerSecond?: number;
  /** How far the *finger* comes up between strokes, 11 = fully; fast 5, otherwise 11. The key front rises about 0.85 mm less. */
  readonly returnMm?: Millimetres;
  /** Scatter of that from stroke to stroke; fast 0.8, otherwise 0. */
  readonly returnSdMm?: Millimetres;
  /** Median hammer speed, m/s; 1.4, gentle 0.4. */
  readonly velocity?: number;
  /** Standard deviation of ln speed; 0.17. */
  readonly velocitySd?: number;
  /** Every n-th stroke, counted from the first, is played firmly (8 dB more); 0, the default, for none. */
  readonly firmEvery?: number;
}

export interface FaultPlan {
  readonly name: FaultName;
  readonly size: number;
}

export interface NotePlan {
  readonly midi: MidiNote;
  readonly passages: readonly PassagePlan[];
  readonly faults?: readonly FaultPlan[];
  /** Silence before the note, 2 s. */
  readonly pauseSeconds?: Seconds;
}

export interface HandPlan {
  /** Scatter of ln travel time at equal speed; 0.035 training, 0.038 judging. */
  readonly travelSd?: number;
  /** Share of strokes with an odd travel time, five times the scatter; 0.03. */
  readonly slipShare?: number;
  /** Random part of the level at equal speed, dB; 0.4. */
  readonly levelSdDb?: Decibels;
  /** Scatter of intervals: share of the interval, and seconds of the finger itself; 0.045 and 0.004. */
  readonly tempoSd?: number;
  readonly motorSdSeconds?: Seconds;
  /** Change of tempo over a passage, standard deviation, share; 0.03. */
  readonly tempoDriftSd?: number;
  /** Share of slow strokes before which the player waits 0.3 to 0.8 s longer; 0.04. */
  readonly hesitationShare?: number;
  /** The noise of the finger's contact; `mixed` takes each by the variant's share. Default mixed. */
  readonly contact?: 'click' | 'thump' | 'mixed' | 'none';
  /** Highest amplitude of that noise re the tone's peak: mean and scatter; click -38 (6), thump -45 (3). */
  readonly contactLevelDb?: Decibels;
  readonly contactLevelSdDb?: Decibels;
  /** Share of strokes whose contact makes no sound: slow, fast, gentle; 0.1, 0.3, 0.8. */
  readonly inaudibleShare?: { readonly slow?: number; readonly fast?: number; readonly gentle?: number };
  /** Share of thumps that come in two stages; 0.15. */
  readonly twoStageShare?: number;
}

export interface RoomPlan {
  /** Time for the reverberation to fall by 60 dB; 0.45 s training, 0.7 s judging. */
  readonly reverberationSeconds?: Seconds;
  /** Energy of the reverberation re the direct sound, dB; -8 training, -5 judging; -Infinity for none (no echoes either). */
  readonly reverberationDb?: Decibels;
  /** Second-order high-pass of the microphone, Hz; 40 training, 80 judging; 0 for none. */
  readonly highPassHertz?: Hertz;
}

export interface PracticePlan {
  readonly variant: 'training' | 'judging';
  /** 48000 by default; 22050 to 192000. */
  readonly sampleRate?: Hertz;
  readonly notes: readonly NotePlan[];
  readonly hand?: HandPlan;
  readonly room?: RoomPlan;
  /**
   * Signal-to-noise ratio, dB: RMS of the first 50 ms after the onset of the median sounded stroke (the tone alone,
   * direct sound) over the RMS of the background without the hum. Default 45; Infinity for no noise.
   */
  readonly snrDb?: Decibels;
  /** Mains hum, RMS re the same 50 ms of tone, dB; none by default. */
  readonly humDb?: Decibels;
  /** 50 (default) or 60 Hz. */
  readonly mainsHertz?: 50 | 60;
  /** Tuning of the whole piano against A4 = 440 Hz. */
  readonly tuningCents?: Cents;
  /** Silence before the first note, 1 s. */
  readonly leadSeconds?: Seconds;
}

/** A passage with its defaults filled in. */
export type FullPassage = Required<PassagePlan>;

/** The passage with every default filled in; `firmEvery` 0 means none. */
export function fullPassage(passage: PassagePlan): FullPassage {
  const fast = passage.kind === 'fast';
  const gentle = passage.kind === 'gentle';
  return {
    kind: passage.kind,
    strokes: passage.strokes,
    ratePerSecond: passage.ratePerSecond ?? (fast ? 6 : gentle ? 0.8 : 1),
    returnMm: passage.returnMm ?? (fast ? 5 : 11),
    returnSdMm: passage.returnSdMm ?? (fast ? 0.8 : 0),
    velocity: passage.velocity ?? (gentle ? 0.4 : 1.4),
    velocitySd: passage.velocitySd ?? 0.17,
    firmEvery: passage.firmEvery ?? 0,
  };
}

/**
 * Refuses a plan that makes no sense.
 * @throws RangeError naming the part, what was found and what was expected.
 */
export function checkPlan(plan: PracticePlan, seed: number): void {
  expect(Number.isInteger(seed), 'seed', seed, 'a whole number');
  expect(plan.variant === 'training' || plan.variant === 'judging', 'variant', plan.variant, '"training" or "judging"');
  within('sampleRate', plan.sampleRate ?? 48000, 22050, 192000);
  expect(plan.notes.length > 0, 'notes', 'none', 'at least one note');
  const snr = plan.snrDb ?? 45;
  expect(snr === Infinity || (snr >= -20 && snr <= 120), 'snrDb', snr, '-20 to 120, or Infinity for no noise');
  within('humDb', plan.humDb ?? -40, -120, 20);
  within('tuningCents', plan.tuningCents ?? 0, -200, 200);
  within('leadSeconds', plan.leadSeconds ?? 1, 0.2, 60);
  plan.notes.forEach((note, index) => checkNote(note, `notes[${index}]`));
  checkHand(plan.hand ?? {});
  const room = plan.room ?? {};
  within('room.reverberationSeconds', room.reverberationSeconds ?? 0.4, 0.05, 5);
  expect((room.reverberationDb ?? 0) <= 20, 'room.reverberationDb', room.reverberationDb, 'at most 20');
  within('room.highPassHertz', room.highPassHertz ?? 0, 0, 500);
}

function checkNote(note: NotePlan, where: string): void {
  expect(isKey(note.midi), `${where}.midi`, note.midi, 'a whole number from 21 (A0) to 108 (C8)');
  const name = `${where} (${keyName(note.midi)})`;
  expect(note.passages.length > 0, `${name}.passages`, 'none', 'at least one passage');
  within(`${name}.pauseSeconds`, note.pauseSeconds ?? 2, 0.3, 60);
  note.passages.forEach((given, index) => {
    const at = `${name}.passages[${index}]`;
    expect(['slow', 'fast', 'gentle'].includes(given.kind), `${at}.kind`, given.kind, '"slow", "fast" or "gentle"');
    const passage = fullPassage(given);
    whole(`${at}.strokes`, passage.strokes, 1, 500);
    within(`${at}.ratePerSecond`, passage.ratePerSecond, 0.2, 15);
    if (passage.kind !== 'fast') within(`${at}.ratePerSecond`, passage.ratePerSecond, 0.2, 2.5);
    within(`${at}.returnMm`, passage.returnMm, 3, 11);
    within(`${at}.returnSdMm`, passage.returnSdMm, 0, 3);
    within(`${at}.velocity`, passage.velocity, 0.15, 7);
    within(`${at}.velocitySd`, passage.velocitySd, 0, 0.6);
    whole(`${at}.firmEvery`, passage.firmEvery, 0, 500);
  });
  for (const fault of note.faults ?? []) {
    const entry = Object.hasOwn(FAULTS, fault.name) ? FAULTS[fault.name] : null;
    expect(entry !== null, `${name}.faults`, `"${fault.name}"`, `one of ${Object.keys(FAULTS).join(', ')}`);
    if (entry) within(`${name}.faults "${fault.name}" size (${entry.unit})`, fault.size, entry.least, entry.most);
  }
}

function checkHand(hand: HandPlan): void {
  within('hand.travelSd', hand.travelSd ?? 0, 0, 0.3);
  within('hand.slipShare', hand.slipShare ?? 0, 0, 1);
  within('hand.levelSdDb', hand.levelSdDb ?? 0, 0, 6);
  within('hand.tempoSd', hand.tempoSd ?? 0, 0, 0.2);
  within('hand.motorSdSeconds', hand.motorSdSeconds ?? 0, 0, 0.03);
  within('hand.tempoDriftSd', hand.tempoDriftSd ?? 0, 0, 0.2);
  within('hand.hesitationShare', hand.hesitationShare ?? 0, 0, 1);
  within('hand.contactLevelDb', hand.contactLevelDb ?? -40, -90, 0);
  within('hand.contactLevelSdDb', hand.contactLevelSdDb ?? 0, 0, 12);
  within('hand.twoStageShare', hand.twoStageShare ?? 0, 0, 1);
  for (const [kind, share] of Object.entries(hand.inaudibleShare ?? {})) {
    within(`hand.inaudibleShare.${kind}`, share ?? 0, 0, 1);
  }
}

function within(name: string, found: number, low: number, high: number): void {
  expect(found >= low && found <= high, name, found, `${low} to ${high}`);
}

function whole(name: string, found: number, low: number, high: number): void {
  expect(Number.isInteger(found) && found >= low && found <= high, name, found, `a whole number, ${low} to ${high}`);
}

function expect(holds: boolean, name: string, found: unknown, expected: string): void {
  if (!holds) throw new RangeError(`practice plan: ${name} is ${String(found)}; expected ${expected}`);
}
