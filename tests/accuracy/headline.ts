/** The few figures that stand in the README, made of the meter's own rows. */

import type { NamingRow, PeerRow } from './sections.ts';
import { noiseOf } from './sections.ts';
import { NOISES } from './conditions.ts';
import { figure, milliseconds, perCent, type Table } from './table.ts';

/** Strokes found and timed, beside the tools at their best. */
export function headlineOnsets(rows: readonly PeerRow[], keys: number): Table {
  return {
    title: 'Strokes found and timed',
    rests:
      `${keys} keys from A0 to C8, 8 slow strokes and 12 at 8 a second over their own ringing, per noise. F within ±10 ms; ` +
      'error of the time within a note, one constant taken out; "lost": more than one stroke in twenty was not found. The tools ' +
      'are run at the settings that suit the noise best, their delay taken out.',
    head: ['signal to noise', 'heard by', 'F', 'median ms', '95 % ms'],
    rows: NOISES.flatMap((snrDb) =>
      rows
        .filter((row) => row.snrDb === snrDb)
        .map(({ tool, pool: { onsets, timing } }) => [
          noiseOf(snrDb),
          tool,
          figure(onsets.fMeasure, 3),
          milliseconds(timing.absolute.median),
          milliseconds(timing.absolute.p95),
        ]),
    ),
  };
}

/** Names, the project's rows of a kind counted together, and the best of the tools. */
export function headlineNames(rows: readonly NamingRow[]): Table {
  const together = (what: string, own: readonly NamingRow[]): string[] => {
    const n = own.reduce((sum, { score }) => sum + score.n, 0);
    const right = own.reduce((sum, { score }) => sum + score.right, 0);
    const octaves = own.reduce((sum, { score }) => sum + score.octaveErrors, 0);
    return [what, `${n}`, perCent(right / n), `${octaves}`];
  };
  const own = rows.filter(({ listed }) => listed);
  const tools = rows.filter(({ listed }) => !listed);
  const best = tools.reduce<NamingRow | null>((a, b) => (a && a.score.share >= b.score.share ? a : b), null);
  return {
    title: 'Notes named',
    rests: 'All 88 keys, up to 40 cents off, soft to loud, at 30 and 12 dB; the best of the tools is told the onsets.',
    head: ['heard by', 'notes', 'right %', 'octave errors'],
    rows: [
      together(
        'Evenfall, three strokes alone',
        own.filter(({ what }) => what.startsWith('alone')),
      ),
      together(
        'Evenfall, among all the others',
        own.filter(({ what }) => what.startsWith('in sequence')),
      ),
      ...(best ? [together(best.what, [best])] : []),
    ],
  };
}
