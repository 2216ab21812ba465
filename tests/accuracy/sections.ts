/** The meter's tables: each measures, and says what it rests on. */

import type { Retrieval } from '../../src/evaluation/matching.ts';
import type { NamingScore } from '../../src/evaluation/naming.ts';
import { keyName } from '../../src/piano/keys.ts';
import { CONDITIONS, LONG_CONDITIONS, NOISES, type Condition } from './conditions.ts';
import { CLEAN_SNR_DB } from './material.ts';
import { pool, poolByRegister, REGISTERS, type Pool, type TakeScore } from './measure.ts';
import { figure, milliseconds, perCent, type Table } from './table.ts';
import type { ZeroScatter } from './zero.ts';

/** A condition with its scored takes. */
export interface Measured {
  readonly condition: Condition;
  readonly takes: readonly TakeScore[];
}

const TIMING_HEAD = [
  'F ±10 ms',
  'median ms',
  '95 % ms',
  'slips %',
  'unmarked slips',
  'marked %',
  'level dB: median',
  '95 %',
];

function timingCells({ onsets, timing, level }: Pool): string[] {
  return [
    figure(onsets.fMeasure, 3),
    milliseconds(timing.absolute.median),
    milliseconds(timing.absolute.p95),
    perCent(timing.slipShare),
    `${timing.unmarkedSlips} of ${timing.strokes}`,
    perCent(timing.markedShare),
    figure(level?.median, 2),
    figure(level?.p95, 2),
  ];
}

/** Every condition over the whole compass. */
export function byCondition(measured: readonly Measured[]): Table {
  const keys = measured[0].takes.length;
  return {
    title: 'Onsets, by condition',
    rests:
      `${keys} keys, 20 strokes each. Where one layer is played the distances are exact by construction; where slow and ` +
      'fast strokes are of different layers, the template never met the strokes it times, and one constant per layer is taken out. ' +
      'Slips: off by more than 0.3 ms, or not found. Level: slow strokes only.',
    head: ['condition', ...TIMING_HEAD],
    rows: measured.map(({ condition, takes }) => [condition.name, ...timingCells(pool(takes))]),
  };
}

/** One noise after the other, by register. */
export function byRegister(measured: readonly Measured[]): Table {
  const series = measured.filter(({ condition }) => condition.series === 'noise');
  return {
    title: 'Onsets, by register and noise',
    rests: 'Medium layer, 8 strokes a second, half damped.',
    head: ['register', 'noise', ...TIMING_HEAD],
    rows: REGISTERS.flatMap(({ name }) =>
      series.flatMap(({ condition, takes }) =>
        poolByRegister(takes)
          .filter(({ register }) => register === name)
          .map((part) => [name, noiseOf(condition.snrDb), ...timingCells(part.pool)]),
      ),
    ),
  };
}

/** Soft, medium, loud, by register. */
export function byLoudness(measured: readonly Measured[]): Table {
  const series = measured.filter(
    ({ condition }) => condition.series === 'loudness' || (condition.series === 'noise' && condition.snrDb === 20),
  );
  return {
    title: 'Onsets, by loudness',
    rests: 'At 20 dB, 8 strokes a second, half damped; each layer by itself.',
    head: ['register', 'layer', ...TIMING_HEAD],
    rows: REGISTERS.flatMap(({ name }) =>
      series.flatMap(({ condition, takes }) =>
        poolByRegister(takes)
          .filter(({ register }) => register === name)
          .map((part) => [name, /soft|loud/.exec(condition.name)?.[0] ?? 'medium', ...timingCells(part.pool)]),
      ),
    ),
  };
}

/** How much the time moves from one recorded stroke to another. */
export function betweenLayers(measured: readonly Measured[]): Table {
  const mixed = measured.filter(({ condition }) => condition.series === 'other strokes');
  return {
    title: 'Bias between soft, medium and loud strokes of one note',
    rests:
      'Distance between the constants of the layers in a take, ms. Rests on layers laid upon each other by correlation ' +
      'in three bands, and only where these agree within 0.05 ms: a bias common to all bands is not seen.',
    head: ['condition', 'pairs', 'median', '90 %', 'worst'],
    rows: mixed.flatMap(({ condition, takes }) => {
      const offsets = pool(takes).layerOffsets;
      return offsets
        ? [
            [
              condition.name,
              `${offsets.n}`,
              milliseconds(offsets.median),
              milliseconds(offsets.p90),
              milliseconds(offsets.worst),
            ],
          ]
        : [];
    }),
  };
}

/** Silent strokes and doubles in takes that have them, and made-up ones in takes that have none. */
export function kinds(faulty: readonly TakeScore[], measured: readonly Measured[]): Table {
  const found = pool(faulty).kinds;
  const good = pool(measured.flatMap(({ takes }) => takes));
  const row = (name: string, retrieval: Retrieval, madeUp: number): string[] => [
    name,
    `${retrieval.hits + retrieval.misses}`,
    perCent(retrieval.recall),
    perCent(retrieval.precision),
    `${madeUp} in ${good.timing.strokes}`,
  ];
  return {
    title: 'Silent strokes and doubles',
    rests:
      `${faulty.length} takes at 30 dB, 6 a second, ringing on (-6 dB): two silent strokes of twelve, four doubles 45 to 110 ms ` +
      'later, 12 dB under, of another recorded layer. Made up: in all the takes above, which have none.',
    head: ['kind', 'in the takes', 'found %', 'precision %', 'made up in good takes'],
    rows: [
      row('silent', found.silent, good.kinds.silent.extras),
      row('double', found.double, good.kinds.double.extras),
      row('sounded', found.sounded, good.kinds.sounded.extras),
    ],
  };
}

/** One line of the naming table. */
export interface NamingRow {
  readonly what: string;
  readonly score: NamingScore;
  /** Misses of the project are listed, those of the tools only counted. */
  readonly listed: boolean;
}

/** Names of notes, and the misses. */
export function naming(rows: readonly NamingRow[]): Table {
  const missList = rows
    .filter(({ listed, score }) => listed && score.misses.length > 0)
    .map(({ what, score }) => {
      const list = score.misses.map(
        ({ label, estimate }) => `${label} (said: ${estimate === null ? 'nothing' : nameOf(estimate)})`,
      );
      return `Missed, ${what}: ${list.join('; ')}.`;
    });
  return {
    title: 'Names of notes',
    rests:
      'All 88 keys; those between the sampled ones are samples a semitone higher or lower (B7: two). Alone: three strokes in their ' +
      'own recording, the whole piano detuned. In sequence: five strokes a key in a chance order in one recording. A note ' +
      'without a majority of right names is missed. The tools are told the onsets.',
    head: ['what', 'notes', 'right %', 'octave errors', 'of these C2-B6', 'a semitone off', 'not named'],
    rows: rows.map(({ what, score }) => [
      what,
      `${score.n}`,
      perCent(score.share),
      `${score.octaveErrors}`,
      `${score.octaveErrorsInMiddle}`,
      `${score.semitoneErrors}`,
      `${score.unnamed}`,
    ]),
    notes: missList,
  };
}

/** The zero of a note. */
export function zero(scatters: readonly ZeroScatter[]): Table {
  return {
    title: 'The zero of a note',
    rests:
      'How much the distance between two definitions of the onset scatters between neighbouring sampled keys, ms (robust SD): ' +
      'what any comparison of onsets between notes carries. Three layers at 20 dB.',
    head: ['register', 'pairs', '-20 dB point / first arrival', 'reported / first arrival', 'reported / -20 dB point'],
    rows: scatters.map(({ register, pairs, missing, minus20ToArrival, reportedToArrival, reportedToMinus20 }) => [
      register,
      missing ? `${pairs} (${missing} lost)` : `${pairs}`,
      milliseconds(minus20ToArrival, 2),
      milliseconds(reportedToArrival, 2),
      milliseconds(reportedToMinus20, 2),
    ]),
  };
}

/** One line of the comparison with general-purpose tools. */
export interface PeerRow {
  readonly snrDb: number;
  readonly tool: string;
  readonly setting: string;
  readonly pool: Pool;
}

/** Onsets by general-purpose tools. */
export function peers(rows: readonly PeerRow[], keys: number): Table {
  return {
    title: 'Onsets by general-purpose tools on the same recordings',
    rests:
      `${keys} keys, medium layer, 8 a second, half damped. Each tool at its best of the scanned settings for that noise, its ` +
      'own overall delay taken out; the project as it is.',
    head: ['noise', 'tool', 'F ±10 ms', 'precision', 'recall', 'median ms', '95 % ms', 'setting'],
    rows: NOISES.flatMap((snrDb) =>
      rows
        .filter((row) => row.snrDb === snrDb)
        .map(({ tool, setting, pool: { onsets, timing } }) => [
          noiseOf(snrDb),
          tool,
          figure(onsets.fMeasure, 3),
          figure(onsets.precision, 3),
          figure(onsets.recall, 3),
          milliseconds(timing.absolute.median),
          milliseconds(timing.absolute.p95),
          setting,
        ]),
    ),
  };
}

/** Takes of the conditions on some keys; what is done with each recording besides is the caller's. */
export async function measureConditions(
  keys: readonly number[],
  long: boolean,
  score: (condition: Condition, midi: number) => Promise<TakeScore>,
): Promise<Measured[]> {
  const measured: Measured[] = [];
  for (const condition of long ? [...CONDITIONS, ...LONG_CONDITIONS] : CONDITIONS) {
    const takes: TakeScore[] = [];
    for (const midi of keys) takes.push(await score(condition, midi));
    measured.push({ condition, takes });
  }
  return measured;
}

/** "clean" or the ratio. */
export function noiseOf(snrDb: number): string {
  return snrDb === CLEAN_SNR_DB ? 'clean' : `${snrDb} dB`;
}

function nameOf(midi: number): string {
  return midi >= 21 && midi <= 108 ? keyName(midi) : `MIDI ${midi}`;
}
