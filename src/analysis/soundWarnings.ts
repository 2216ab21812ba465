/**
 * Warnings that name what was heard besides strokes, or in their place: talk, instruments, knocks, several notes at once,
 * notes played too seldom. Each says what, roughly when, and what to do.
 */

import { keyName } from '../piano/keys.ts';
import type { OtherSound } from '../strokes/grouping.ts';
import { LEAST_STROKES } from '../strokes/pattern.ts';
import type { Stroke } from '../strokes/types.ts';
import type { MidiNote, Seconds } from '../units.ts';
import type { Warning } from './document.ts';

/** So many sounds of a kind are worth a word. */
const LEAST_SOUNDS = 4;
/** Of talk and instruments together, a kind must make this share. */
const LEAST_SHARE = 0.25;
/** From here up a loose tone may be metal. */
const RINGING_FROM: MidiNote = 90;
/** Within this of a take, knocks are its own: keys let go, the bench. */
const OF_TAKE: Seconds = 2;
/** Within this of a word or a tone, a knock is a part of it. */
const OF_SOUND: Seconds = 1.5;

/** A time as minutes and seconds, to the second. */
export function clock(seconds: Seconds): string {
  const whole = Math.floor(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

/** "about 0:07", or "between 0:07 and 1:12". */
export function when(times: readonly Seconds[]): string {
  const first = clock(times.reduce((a, b) => Math.min(a, b), Infinity));
  const last = clock(times.reduce((a, b) => Math.max(a, b), -Infinity));
  return first === last ? `about ${first}` : `between ${first} and ${last}`;
}

/** Warnings about what else was heard, from the sounds taken for no strokes and the strokes themselves. */
export function soundWarnings(others: readonly OtherSound[], strokes: readonly Stroke[]): Warning[] {
  return [...ofOthers(others, strokes), ...ofChords(strokes), ...ofUncertainNames(strokes), ...ofShortNotes(strokes)];
}

function ofOthers(others: readonly OtherSound[], strokes: readonly Stroke[]): Warning[] {
  const warnings: Warning[] = [];
  const timesOf = (kind: OtherSound['kind']): Seconds[] =>
    others.filter((sound) => sound.kind === kind).flatMap(({ seconds }) => seconds);
  const talk = timesOf('speech');
  const tones = timesOf('instrument');
  const enough = (times: readonly Seconds[]): boolean =>
    times.length >= LEAST_SOUNDS && times.length >= LEAST_SHARE * (talk.length + tones.length);
  if (enough(talk)) {
    warnings.push({
      code: 'speech',
      message: `Somebody speaks ${when(talk)}: nothing of it was taken for strokes. Record without talk, or pause the recording for it.`,
    });
  }
  if (enough(tones)) {
    warnings.push({
      code: 'other-instrument',
      message: `Held or plucked tones that no piano string makes are heard ${when(tones)}: another instrument, singing or a loudspeaker. Record without it.`,
    });
  }
  const sounded = [...talk, ...tones];
  const far = (at: Seconds, times: readonly Seconds[], by: Seconds): boolean =>
    times.every((time) => Math.abs(time - at) > by);
  // A tool that falls rings like the top of the treble.
  const isLoose = ({ doubt, midi }: Stroke): boolean =>
    doubt.includes('not-a-take') && midi !== null && midi >= RINGING_FROM;
  const loose = strokes.filter(isLoose);
  const sure = strokes.filter((stroke) => !isLoose(stroke)).map(({ timeSeconds }) => timeSeconds);
  const knocks = [...timesOf('knock'), ...loose.map(({ timeSeconds }) => timeSeconds)].filter(
    (at) => far(at, sure, OF_TAKE) && far(at, sounded, OF_SOUND),
  );
  if (knocks.length >= LEAST_SOUNDS) {
    warnings.push({
      code: 'knocks',
      message: `${knocks.length} knocks, steps or other noises are heard ${when(knocks)}: nothing of them was taken for strokes. Keep still while strokes are played.`,
    });
  }
  return warnings;
}

function ofChords(strokes: readonly Stroke[]): Warning[] {
  const several = strokes.filter(({ doubt }) => doubt.includes('several-notes')).map(({ timeSeconds }) => timeSeconds);
  if (several.length === 0) return [];
  return [
    {
      code: 'chord',
      message: `Several notes sound at once ${when(several)}: nothing is concluded from them. Play one note at a time, without the pedal.`,
    },
  ];
}

function ofUncertainNames(strokes: readonly Stroke[]): Warning[] {
  const unsure = strokes.filter(({ doubt }) => doubt.includes('note-uncertain')).map(({ timeSeconds }) => timeSeconds);
  if (unsure.length === 0) return [];
  return [
    {
      code: 'unnamed-strokes',
      message: `The note of ${unsure.length} strokes ${when(unsure)} is not sure. Say which key is played first, or record it by itself once more.`,
    },
  ];
}

function ofShortNotes(strokes: readonly Stroke[]): Warning[] {
  const byNote = new Map<MidiNote, Seconds[]>();
  for (const { midi, kind, timeSeconds, doubt } of strokes) {
    if (midi !== null && kind === 'sounded' && !doubt.includes('other-sound'))
      byNote.set(midi, [...(byNote.get(midi) ?? []), timeSeconds]);
  }
  const short = [...byNote].filter(([, times]) => times.length < LEAST_STROKES).sort(([a], [b]) => a - b);
  if (short.length === 0) return [];
  const names = short.map(([midi]) => keyName(midi));
  const listed = names.length > 6 ? `${names.slice(0, 5).join(', ')} and ${names.length - 5} others` : names.join(', ');
  return [
    {
      code: 'short-note',
      message: `Fewer than ${LEAST_STROKES} strokes were heard of ${listed}, ${when(short.flatMap(([, times]) => times))}: nothing can be said of so few. Play eight slow strokes or more, and a fast passage.`,
    },
  ];
}
