/**
 * How late the start of a faint thump is found, by its step over the noise: the same thumps before the same tones at falling
 * levels, each against its own time at the highest one.
 */

import { median, medianDeviation } from '../../src/statistics/order.ts';
import type { RecordedNoise } from './contactMaterial.ts';
import { hearCase } from './contactSections.ts';
import { scoreContacts, type ContactScore } from './contactMeasure.ts';
import { CLEAN_SNR_DB } from './material.ts';
import { figure, milliseconds, type Table } from './table.ts';

/** Recorded noises bring the noise of their own room, which must not be laid too loud. */
const LEVELS = { thump: [-24, -30, -36, -42, -48, -52], real: [-36, -42, -46, -50, -54] } as const;
const STEPS = [
  [22, Infinity],
  [18, 22],
  [14, 18],
  [11, 14],
  [8, 11],
  [-Infinity, 8],
] as const;
/** What jumps further is another event. */
const SAME_EVENT = 0.012;
const ROOM = { snrDb: CLEAN_SNR_DB, rate: 8, ringDb: -10 };

/** One thump at a lower level against itself at the highest: shifts of the said travel time, seconds, later negative. */
export interface Lateness {
  readonly stepDb: number;
  readonly uncorrected: number;
  readonly corrected: number;
  readonly rise: number;
}

/** Thumps of slow strokes on some keys, and the share that jumped to another event. */
export async function thumpLateness(
  keys: readonly number[],
  recorded: readonly RecordedNoise[] = [],
): Promise<{ found: Lateness[]; jumped: number }> {
  const noise = recorded.length ? 'real' : 'thump';
  const scoresAt = async (levelDb: number): Promise<ContactScore[]> => {
    const { heard } = await hearCase({ noise, levelDb, conditions: ROOM }, keys, recorded);
    return heard.flatMap((one) => scoreContacts(one).scores);
  };
  const [highestDb, ...lower] = LEVELS[noise];
  const highest = await scoresAt(highestDb);
  const found: Lateness[] = [];
  let jumped = 0;
  for (const levelDb of lower) {
    const scores = await scoresAt(levelDb);
    if (scores.length !== highest.length) throw new RangeError('a stroke was found at one level and not at another');
    scores.forEach(({ said, grounds, passage }, i) => {
      const own = highest[i];
      if (passage !== 'slow' || !said || !own.said || !grounds || grounds.step === null || !own.grounds) return;
      const at = own.said.lead - own.grounds.earlierBy;
      const shift = said.lead - grounds.earlierBy - at;
      if (Math.abs(shift) > SAME_EVENT) {
        jumped++;
        return;
      }
      found.push({
        stepDb: grounds.step,
        uncorrected: shift,
        corrected: said.lead - own.said.lead,
        rise: said.riseError! - own.said.riseError!,
      });
    });
  }
  return { found, jumped: jumped / Math.max(1, jumped + found.length) };
}

/** Seconds later per dB of step under 22: median of the slopes of all pairs (Theil 1950; Sen 1968). */
export function latePerDb(found: readonly Lateness[]): number {
  const faint = found.filter(({ stepDb }) => stepDb < 22);
  const slopes = faint.flatMap((a, i) =>
    faint
      .slice(i + 1)
      .flatMap((b) =>
        Math.abs(a.stepDb - b.stepDb) > 3 ? [(a.uncorrected - b.uncorrected) / (a.stepDb - b.stepDb)] : [],
      ),
  );
  return slopes.length ? median(slopes) : 0;
}

/** The table. */
export async function lateness(keys: readonly number[], recorded: readonly RecordedNoise[] = []): Promise<Table> {
  const { found, jumped } = await thumpLateness(keys, recorded);
  const cell = (own: readonly Lateness[], pick: (one: Lateness) => number): string => {
    const values = own.map(pick);
    return `${milliseconds(median(values), 2)} (${milliseconds(medianDeviation(values), 2)})`;
  };
  return {
    title: 'Contacts: faint thumps are found late',
    rests:
      `${found.length} ${recorded.length ? 'recorded noises' : 'thumps'} at falling levels against the same ones at ${LEVELS[recorded.length ? 'real' : 'thump'][0]} dB: change of the travel time said, ms, median ` +
      '(and median deviation x 1.48); negative is later. Step: the loudest 10 ms of the thump over the noise before it.',
    head: ['step dB', 'thumps', 'start, as found', 'start, corrected', '15 % of first height'],
    rows: STEPS.flatMap(([low, high]) => {
      const own = found.filter(({ stepDb }) => stepDb >= low && stepDb < high);
      if (own.length < 3) return [];
      const name = high === Infinity ? `from ${low}` : low === -Infinity ? `under ${high}` : `${low} to ${high}`;
      return [
        [
          name,
          `${own.length}`,
          cell(own, ({ uncorrected }) => uncorrected),
          cell(own, ({ corrected }) => corrected),
          cell(own, ({ rise }) => rise),
        ],
      ];
    }),
    notes: [
      `slope of the start as found: ${figure(1000 * latePerDb(found), 3)} ms per dB; jumped by more than 12 ms: ${figure(100 * jumped, 1)} %`,
    ],
  };
}
