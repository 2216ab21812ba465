/** The meter's tables on contacts in other people's recordings (`--recordings`). */

import { distribution } from '../../src/evaluation/distribution.ts';
import { median, quantile } from '../../src/statistics/order.ts';
import { untrimmedStrokes, type UntrimmedStroke } from './contactFolder.ts';
import type { RecordedNoise } from './contactMaterial.ts';
import { byCase, hearCase, type ContactCase } from './contactSections.ts';
import type { FolderPiano } from './folder.ts';
import { CLEAN_SNR_DB } from './material.ts';
import { figure, milliseconds, perCent, type Table } from './table.ts';

const GROUPS = [
  ['ff', 'sure'],
  ['mf', 'sure'],
  ['ff', 'fair'],
  ['mf', 'fair'],
  ['ff', 'none'],
  ['mf', 'none'],
  ['pp', 'none'],
] as const;
/** The truth is read by eye: 3 ms where it is sure, 6 where it is fair. Beyond 10 ms another event was meant. */
const SAME_EVENT = 0.01;

/** Single strokes with the noise before them kept; no table where the folder says nothing of it. */
export async function untrimmedContacts(folder: FolderPiano): Promise<Table[]> {
  const strokes = await untrimmedStrokes(folder);
  return strokes.length ? [found(folder.name, strokes), pairs(folder.name, strokes)] : [];
}

/** Contact said less the true one; `null` where one of them is not there. */
function errorOf({ trueContact, heard }: UntrimmedStroke): number | null {
  return trueContact === null || heard?.contactSeconds == null ? null : heard.contactSeconds - trueContact;
}

function found(name: string, strokes: readonly UntrimmedStroke[]): Table {
  const fades = strokes.map(({ fadeSeconds }) => fadeSeconds);
  return {
    title: `${name}: contacts before single strokes`,
    rests:
      'One stroke a file, so that no other stroke says what is usual nor any silence how loud the room is; the fade-in of every file ' +
      `undone (${figure(Math.min(...fades), 2)} to ${figure(Math.max(...fades), 2)} s found). Error: time of the contact said against the one read by eye ` +
      '(3 ms where it is sure, 6 where it is fair), nothing taken out, earlier negative; of those within 10 ms. ' +
      'Where the truth has no noise, whatever is said is false.',
    head: ['loudness, truth', 'strokes', 'said', 'within 10 ms', 'further off', 'error: median', '|median|', '|90 %|'],
    rows: GROUPS.flatMap(([dyn, sureness]) => {
      const own = strokes.filter((stroke) => stroke.dyn === dyn && stroke.sureness === sureness);
      if (own.length === 0) return [];
      const said = own.filter(({ heard }) => heard?.contactSeconds != null);
      const errors = own.map(errorOf).filter((error) => error !== null);
      const near = errors.filter((error) => Math.abs(error) <= SAME_EVENT);
      const sizes = near.map(Math.abs);
      return [
        [
          `${dyn}, ${sureness}`,
          `${own.length}`,
          perCent(said.length / own.length),
          sureness === 'none' ? '-' : perCent(near.length / own.length),
          `${errors.length - near.length}`,
          milliseconds(near.length ? median(near) : null, 1),
          milliseconds(near.length ? median(sizes) : null, 1),
          milliseconds(near.length ? quantile(sizes, 0.9) : null, 1),
        ],
      ];
    }),
  };
}

/** Travel times of one key at two loudnesses, by the start and by the constant-fraction time. */
function pairs(name: string, strokes: readonly UntrimmedStroke[]): Table {
  const kept = strokes.flatMap((soft) => {
    if (soft.dyn !== 'mf' || soft.trueContact === null) return [];
    const loud = strokes.find((other) => other.dyn === 'ff' && other.midi === soft.midi);
    if (!loud || loud.trueContact === null || !soft.heard || !loud.heard) return [];
    return soft.heard.contactSeconds === null || loud.heard.contactSeconds === null ? [] : [{ soft, loud }];
  });
  const ratios = (lead: (one: UntrimmedStroke) => number): number[] =>
    kept.map(({ soft, loud }) => Math.log(lead(soft) / lead(loud)));
  const row = (what: string, lead: (one: UntrimmedStroke) => number): string[] => {
    const own = ratios(lead);
    const truth = ratios(({ trueContact, trueOnset }) => trueOnset - trueContact!);
    const off = distribution(own.map((ratio, i) => Math.abs(ratio - truth[i])));
    return [
      what,
      `${own.length}`,
      figure(own.length ? Math.exp(median(own)) : null, 2),
      figure(own.length ? Math.exp(median(truth)) : null, 2),
      `${own.filter((ratio) => ratio > 0).length} of ${own.length}`,
      perCent(off.median, 0),
      perCent(off.p90, 0),
    ];
  };
  return {
    title: `${name}: travel times of one key at two loudnesses`,
    rests:
      'Medium over loud, about 11 dB apart, both contacts said and both in the truth. Off: difference of the ratio from the one ' +
      'read by eye, in ln.',
    head: ['travel time by', 'pairs', 'ratio', 'by eye', 'medium longer', 'off: median %', '90 %'],
    rows: [
      row('the start', ({ heard }) => heard!.onsetSeconds! - heard!.contactSeconds!),
      row('15 % of its first height', ({ heard }) => heard!.onsetSeconds! - heard!.contactRiseSeconds!),
    ],
  };
}

/** Noises cut from recordings laid before the project's tones; no table where there are none. */
export async function recordedContacts(
  noises: readonly RecordedNoise[],
  keys: readonly number[],
): Promise<{ tables: Table[]; cases: ContactCase[] }> {
  if (noises.length === 0) return { tables: [], cases: [] };
  const cases: ContactCase[] = [];
  for (const levelDb of [-36, -42]) {
    for (const snrDb of [CLEAN_SNR_DB, 40]) {
      cases.push(await hearCase({ noise: 'real', levelDb, conditions: { snrDb, rate: 8, ringDb: -10 } }, keys, noises));
    }
  }
  return {
    tables: [{ ...byCase(cases), title: `Contacts: ${noises.length} recorded noises before real tones` }],
    cases,
  };
}
