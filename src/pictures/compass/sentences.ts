/** What the charts of the compass show, as sentences: one a chart, one a key. */

import { keyNumber } from '../../piano/keys.ts';
import type { MidiNote } from '../../units.ts';
import { counted, figure, spokenNote, VERDICT_WORDS } from '../words.ts';
import { failedOf, isFlagged, type CompassNote, type CompassRound, type RepeatCount } from './compassNote.ts';

/** "D sharp 3, key 31, unstable, 4 silent and 3 weak of 24, timing 1 in 100 early, rest 1.1 times a firm note's, 15 clear strokes". */
export function keySentence(midi: MidiNote, note: CompassNote | null): string {
  const head = `${spokenNote(midi)}, key ${keyNumber(midi)}`;
  if (note === null) return `${head}, not heard`;
  const { repeats, gentle, timing, restRatio, offsets, verdict } = note;
  return [
    head,
    VERDICT_WORDS[verdict].toLowerCase(),
    repeats ? `${failures(repeats)} of ${repeats.of}` : 'no fast strokes',
    ...(gentle ? [`gentle: ${failures(gentle)} of ${gentle.of}`] : []),
    timing ? `timing ${timingWords(timing.value)}` : 'timing not enough to say',
    restRatio === null ? 'rest not enough to say' : `rest ${figure(restRatio, 1)} times a firm note\u2019s`,
    counted(offsets.length, 'clear stroke'),
  ].join(', ');
}

/** "1 in 100 early", "0 in 100 off". */
export function timingWords(percent: number): string {
  const size = figure(Math.abs(percent));
  return size === '0' ? '0 in 100 off' : `${size} in 100 ${percent < 0 ? 'early' : 'late'}`;
}

/** "4 silent and 3 weak", "0 failed". */
export function failures({ silent, weak, double }: RepeatCount): string {
  const parts = [
    [silent, 'silent'],
    [weak, 'weak'],
    [double, 'double'],
  ] as const;
  const told = parts.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`);
  if (told.length === 0) return '0 failed';
  return told.length === 1 ? told[0] : `${told.slice(0, -1).join(', ')} and ${told[told.length - 1]}`;
}

/** At most so many notes are named. */
const MOST_NAMED = 6;

function listed<Note extends { readonly midi: number }>(notes: readonly Note[], words: (note: Note) => string): string {
  const named = notes.slice(0, MOST_NAMED).map((note) => `${spokenNote(note.midi)} ${words(note)}`);
  const rest = notes.length - named.length;
  return [...named, ...(rest > 0 ? [`and ${rest} more`] : [])].join('; ');
}

/** One sentence a row. */
export function rowSentences({ notes }: CompassRound): { repeats: string; timing: string; rest: string } {
  const played = notes.filter(({ repeats, gentle }) => repeats !== null || gentle !== null);
  const most = (note: CompassNote) =>
    Math.max(note.repeats ? failedOf(note.repeats) : 0, note.gentle ? failedOf(note.gentle) : 0);
  const failing = played.filter((note) => most(note) >= 2).sort((a, b) => most(b) - most(a));
  const placed = notes.filter(({ timing }) => timing !== null);
  const off = placed.filter(({ colours }) => colours.timing === 'amber');
  const rested = notes.filter(({ restRatio }) => restRatio !== null);
  const wandering = rested.filter(({ colours }) => colours.rest !== 'ink3').sort((a, b) => b.restRatio! - a.restRatio!);
  const told = (of: readonly CompassNote[], what: string, words: string): string =>
    of.length === 0 ? `${what}: nothing heard yet.` : `${what} of ${counted(of.length, 'note')}: ${words}.`;
  const failedWords = ({ repeats, gentle }: CompassNote) =>
    [
      ...(repeats && failedOf(repeats) >= 2 ? [`${failures(repeats)} of ${repeats.of}`] : []),
      ...(gentle && failedOf(gentle) >= 2 ? [`${failures(gentle)} of ${gentle.of} gentle`] : []),
    ].join(', ');
  return {
    repeats: told(played, 'Repeats', failing.length > 0 ? listed(failing, failedWords) : 'none failed twice'),
    timing: told(
      placed,
      'Timing',
      off.length > 0 ? listed(off, ({ timing }) => timingWords(timing!.value)) : 'none clearly early or late',
    ),
    rest: told(
      rested,
      'Rest',
      wandering.length > 0
        ? listed(wandering, ({ restRatio }) => `${figure(restRatio!, 1)} times a firm note\u2019s`)
        : 'none wanders more than the hand explains',
    ),
  };
}

/** The platform line in one sentence. */
export function platformSentence({
  notes,
}: {
  readonly notes: readonly Pick<CompassNote, 'midi' | 'verdict'>[];
}): string {
  if (notes.length === 0) return 'Nothing heard yet.';
  const unstable = notes.filter(({ verdict }) => verdict === 'unstable');
  const watch = notes.filter(isFlagged).length - unstable.length;
  const names = listed(unstable, () => '')
    .replaceAll(' ;', ';')
    .trim();
  return `${counted(notes.length, 'note')} heard: ${unstable.length} unstable${names ? ` (${names.replaceAll('; ', ', ')})` : ''}, ${watch} to watch.`;
}
