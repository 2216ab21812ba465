/** The meter's table of lossy codecs. */

import { distribution } from '../../src/evaluation/distribution.ts';
import {
  CODECS,
  compareStrokes,
  missingTools,
  pooledChanges,
  practiceOf,
  preEchoes,
  strokesOf,
  throughCodec,
  type CodecChanges,
  type PreEcho,
} from './codecs.ts';
import { figure, milliseconds, type Table } from './table.ts';

/** What each codec does to onsets and finger-key contacts, on practice takes of the given keys. */
export async function codecTable(keys: readonly number[]): Promise<Table> {
  const notes = CODECS.flatMap((codec) => {
    const missing = missingTools(codec);
    return missing.length ? [`${codec.name}: not measured, ${missing.join(', ')} is not installed`] : [];
  });
  const present = CODECS.filter((codec) => missingTools(codec).length === 0);
  const changes = present.map((): CodecChanges[] => []);
  const echoes = present.map((): PreEcho[] => []);
  for (const midi of keys) {
    const practice = practiceOf(midi);
    const { samples, sampleRate, truth } = practice;
    const before = strokesOf(samples, sampleRate);
    for (const [i, codec] of present.entries()) {
      const coded = await throughCodec(samples, sampleRate, codec);
      changes[i].push(compareStrokes(before, strokesOf(coded, sampleRate), truth.strokes));
      echoes[i].push(...preEchoes(samples, coded, practice));
    }
  }
  const none = changes.every((parts) => pooledChanges(parts).contacts + pooledChanges(parts).contactsGained === 0);
  if (none) notes.push('No finger-key contact was said anywhere, from PCM or from coded files: nothing to compare.');
  return {
    title: 'Lossy compression',
    rests:
      `Practice takes of ${keys.length} keys (48 kHz, 45 dB, made by src/synthesis: a model, not a piano), 26 strokes each, ` +
      'analysed from 16-bit PCM and from the coded file. Shifts: coded minus PCM; constant: their median; 95 % of their size. ' +
      'Lost, gained: strokes and contacts in PCM alone, in the coded file alone; invented strokes are unknown to the truth and compared no further, false ' +
      'contacts are said where it has none that sounded; PCM, then coded. Added: what the codec put into the 20 ms before slow and ' +
      'gentle onsets, over what stood there, and the same 0.1 s earlier, without an attack near: the difference is pre-echo.',
    head: [
      'codec',
      'strokes',
      'lost',
      'gained',
      'invented',
      'onset: constant ms',
      'median ms',
      '95 % ms',
      'contacts',
      'lost ',
      'gained ',
      'false',
      'contact: constant ms',
      'median ms ',
      '95 % ms ',
      'added dB: median',
      '95 %',
      'earlier: median',
    ],
    rows: present.map((codec, i) => [codec.name, ...cells(pooledChanges(changes[i]), echoes[i])]),
    notes,
  };
}

function cells(changes: CodecChanges, echoes: readonly PreEcho[]): string[] {
  const echo = distribution(echoes.map(({ before }) => before));
  return [
    `${changes.both}`,
    `${changes.lost}`,
    `${changes.gained}`,
    `${changes.inventedInPcm}, ${changes.inventedInCoded}`,
    ...shiftCells(changes.onsetShifts),
    `${changes.contacts}`,
    `${changes.contactsLost}`,
    `${changes.contactsGained}`,
    `${changes.falseInPcm}, ${changes.falseInCoded} of ${changes.inaudible}`,
    ...shiftCells(changes.contactShifts),
    figure(echo.median, 1),
    figure(echo.p95, 1),
    figure(distribution(echoes.map(({ earlier }) => earlier)).median, 1),
  ];
}

function shiftCells(shifts: readonly number[]): string[] {
  if (shifts.length === 0) return ['-', '-', '-'];
  const sizes = distribution(shifts.map(Math.abs));
  return [milliseconds(distribution(shifts).median), milliseconds(sizes.median), milliseconds(sizes.p95)];
}
