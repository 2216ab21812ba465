/** Words of the report: counts in words, lists of notes, days and hours. Notes stand as "D#3"; the writer draws the sharp. */

import { keyName } from '../piano/keys.ts';
import { figure } from '../pictures/words.ts';
import type { MidiNote } from '../units.ts';

const NUMBERS = 'no one two three four five six seven eight nine ten eleven twelve'.split(' ');

/** "three" up to twelve, figures above; "no" for 0. */
export function numberWord(n: number): string {
  return NUMBERS[n] ?? String(n);
}

/** "three notes", "one note", "no note". */
export function countWords(n: number, thing: string): string {
  return `${numberWord(n)} ${thing}${n > 1 ? 's' : ''}`;
}

/** With its first letter large. */
export function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}

/** "a", "a and b", "a, b and c". */
export function listed(items: readonly string[]): string {
  return items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`;
}

/** Names from bass to treble; more than `most` are counted: "A0, B0 and 12 more". */
export function noteList(midis: readonly MidiNote[], most = 8): string {
  const names = [...midis].sort((a, b) => a - b).map((midi) => keyName(midi));
  return names.length <= most
    ? listed(names)
    : listed([...names.slice(0, most - 1), `${names.length - most + 1} more`]);
}

const MONTHS = 'January February March April May June July August September October November December'.split(' ');

/** "18 May 2026", as the day was `offsetMinutes` ahead of UTC. */
export function dayWords(time: string, offsetMinutes: number): string {
  const at = localOf(time, offsetMinutes);
  return `${at.getUTCDate()} ${MONTHS[at.getUTCMonth()]} ${at.getUTCFullYear()}`;
}

/** "8:55", likewise. */
export function clockWords(time: string, offsetMinutes: number): string {
  const at = localOf(time, offsetMinutes);
  return `${at.getUTCHours()}:${String(at.getUTCMinutes()).padStart(2, '0')}`;
}

function localOf(time: string, offsetMinutes: number): Date {
  return new Date(Date.parse(time) + 60_000 * offsetMinutes);
}

/** "45 minutes", "1 hour 5 minutes". */
export function durationWords(minutes: number): string {
  const whole = Math.round(minutes);
  const [hours, rest] = [Math.floor(whole / 60), whole % 60];
  const parts = [
    ...(hours > 0 ? [`${hours} hour${hours === 1 ? '' : 's'}`] : []),
    ...(rest > 0 || hours === 0 ? [`${rest} minute${rest === 1 ? '' : 's'}`] : []),
  ];
  return parts.join(' ');
}

/** "46 mm", "1.25 mm": as many decimals as it has, two at most. */
export function millimetreWords(value: number): string {
  return `${figure(Math.round(value * 100) / 100, decimalsOf(value))} mm`;
}

function decimalsOf(value: number): number {
  const hundredths = Math.round(Math.abs(value) * 100);
  return hundredths % 100 === 0 ? 0 : hundredths % 10 === 0 ? 1 : 2;
}
