/** The meter's tables on finger-key contacts: found, false, when; by noise, level, ringing and register. */

import { quantile } from '../../src/statistics/order.ts';
import type { ContactConditions, ContactNoise, RecordedNoise } from './contactMaterial.ts';
import { mediumTake } from './contactMaterial.ts';
import { hearContacts, scoreContacts, summary, type ContactScore, type HeardContacts } from './contactMeasure.ts';
import { CLEAN_SNR_DB, record } from './material.ts';
import { figure, milliseconds, perCent, type Table } from './table.ts';

const HALF_DAMPED = { rate: 8, ringDb: -10 };
const RINGING_ON = { rate: 6, ringDb: -3 };
/** A start read by eye may be off by so much more. */
const NEAR_READ = 0.015;
const FALSE_SHARES = [0.005, 0.01, 0.02, 0.05] as const;
const ACCEPTANCES = Array.from({ length: 61 }, (_, i) => 0.35 * 2 ** (i / 20));

/** Takes of one kind and level under one set of conditions, heard. */
export interface ContactCase {
  readonly noise: ContactNoise;
  readonly levelDb: number;
  readonly conditions: ContactConditions;
  readonly heard: readonly HeardContacts[];
}

/** The cases of the tables: every level clean, the usual one in noise and over louder ringing, and takes without any. */
export const CONTACT_CASES: readonly Omit<ContactCase, 'heard'>[] = [
  ...(['click', 'thump'] as const).flatMap((noise) => [
    ...[-30, -36, -42, -48].map((levelDb) => of(noise, levelDb, CLEAN_SNR_DB, HALF_DAMPED)),
    of(noise, -36, 40, HALF_DAMPED),
    of(noise, -36, 30, HALF_DAMPED),
    of(noise, -36, CLEAN_SNR_DB, RINGING_ON),
  ]),
  ...[CLEAN_SNR_DB, 40, 30].flatMap((snrDb) => [
    of('none', -36, snrDb, HALF_DAMPED),
    of('none', -36, snrDb, RINGING_ON),
  ]),
];

function of(
  noise: ContactNoise,
  levelDb: number,
  snrDb: number,
  played: Omit<ContactConditions, 'snrDb'>,
): Omit<ContactCase, 'heard'> {
  return { noise, levelDb, conditions: { snrDb, ...played } };
}

/** Records and hears the takes of a case. */
export async function hearCase(
  { noise, levelDb, conditions }: Omit<ContactCase, 'heard'>,
  keys: readonly number[],
  recorded: readonly RecordedNoise[] = [],
): Promise<ContactCase> {
  const heard: HeardContacts[] = [];
  for (const midi of keys) {
    heard.push(hearContacts(await record(mediumTake(midi, noise, levelDb, conditions, recorded))));
  }
  return { noise, levelDb, conditions, heard };
}

/** All strokes of cases. */
export function scoresOf(cases: readonly ContactCase[], acceptance = 1): ContactScore[] {
  return cases.flatMap(({ heard }) => heard.flatMap((one) => scoreContacts(one, acceptance).scores));
}

const HEAD = ['found %', 'false %', 'median ms', '90 %', '> 5 ms %', 'masked %'];

/** Found, false, when of some strokes. */
function cells(scores: readonly ContactScore[], noise: ContactNoise): string[] {
  const { found, wrong, errors, masked } = summary(scores, noise === 'real' ? NEAR_READ : undefined);
  const sizes = errors.map(Math.abs);
  const laid = noise !== 'none';
  return [
    laid ? perCent(found) : '-',
    perCent(wrong),
    milliseconds(sizes.length ? quantile(sizes, 0.5) : null, 2),
    milliseconds(sizes.length ? quantile(sizes, 0.9) : null, 2),
    sizes.length ? perCent(sizes.filter((size) => size > 0.005).length / sizes.length) : '-',
    perCent(masked),
  ];
}

/** Every case, slow and fast strokes apart. */
export function byCase(cases: readonly ContactCase[]): Table {
  return {
    title: 'Contacts, by noise',
    rests:
      `${cases[0].heard.length} keys, 8 slow and 12 fast strokes each, medium layer; noises made or cut, laid ` +
      'before real tones. Levels re the peak of the tone: on untrimmed recordings of one grand the noise before loud strokes ' +
      'stands at -39 to -51 dB, mostly under 400 Hz, 20 to 24 dB over the room. Error: of the travel time, one constant a note ' +
      'taken out; found within 10 ms (15 where the start was read by eye), whatever is said elsewhere is false.',
    head: ['noise', 'dB', 'room', 'fast over', 'strokes', ...HEAD],
    rows: cases.flatMap((one) =>
      (['slow', 'fast'] as const).map((passage) => {
        const { noise, levelDb, conditions } = one;
        const scores = scoresOf([one]).filter((score) => score.passage === passage);
        return [
          noise,
          noise === 'none' ? '-' : `${levelDb}`,
          `${conditions.snrDb} dB`,
          passage === 'slow' ? '-' : `${conditions.ringDb} dB, ${conditions.rate}/s`,
          `${scores.length} ${passage}`,
          ...cells(scores, noise),
        ];
      }),
    ),
  };
}

const REGISTERS = [
  { name: 'bass, to B2', low: 21, high: 47 },
  { name: 'middle', low: 48, high: 71 },
  { name: 'treble, from C5', low: 72, high: 108 },
] as const;

/** The usual level, clean, register by register. */
export function contactsByRegister(cases: readonly ContactCase[]): Table {
  const usual = cases.filter(
    ({ noise, levelDb, conditions }) =>
      (noise === 'none' || levelDb === -36) && conditions.snrDb === CLEAN_SNR_DB && conditions.ringDb === -10,
  );
  return {
    title: 'Contacts, by register',
    rests: 'At -36 dB in a quiet room, fast strokes half damped.',
    head: ['register', 'noise', 'strokes', ...HEAD],
    rows: REGISTERS.flatMap(({ name, low, high }) =>
      usual.flatMap((one) =>
        (['slow', 'fast'] as const).flatMap((passage) => {
          const scores = scoresOf([one]).filter(
            (score) => score.passage === passage && score.midi >= low && score.midi <= high,
          );
          return scores.length ? [[name, one.noise, `${scores.length} ${passage}`, ...cells(scores, one.noise)]] : [];
        }),
      ),
    ),
  };
}

/** What is found where so much is false: the acceptance is set for the share of false ones in takes without any noise. */
export function foundAgainstFalse(cases: readonly ContactCase[]): Table {
  const silent = cases.filter(({ noise }) => noise === 'none');
  const laid = cases.filter(({ noise, levelDb }) => noise !== 'none' && levelDb >= -42);
  const at = ACCEPTANCES.map((acceptance) => ({ acceptance, scores: scoresOf(silent, acceptance) }));
  const rows = (['slow', 'fast'] as const).flatMap((passage) => {
    const steps = FALSE_SHARES.map((share) => {
      const fit = at.find(({ scores }) => saidShare(scores, passage) <= share) ?? at[at.length - 1];
      return { share, acceptance: fit.acceptance };
    });
    const strengths = [`${passage}: strength asked`, ...steps.map(({ acceptance }) => figure(acceptance, 2))];
    return [
      strengths,
      ...laid.map((one) => [
        `${passage}, ${one.noise} ${one.levelDb} dB, room ${one.conditions.snrDb} dB, over ${one.conditions.ringDb} dB`,
        ...steps.map(({ acceptance }) => {
          const scores = scoresOf([one], acceptance).filter((score) => score.passage === passage);
          return perCent(summary(scores, one.noise === 'real' ? NEAR_READ : undefined).found);
        }),
      ]),
    ];
  });
  const strokes = at[0].scores.length;
  return {
    title: 'Contacts: found against false',
    rests:
      `The share found, %, where evidence is asked for so strong that ${strokes} strokes without any noise before them (three rooms, ` +
      'two ways of ringing) give no more false contacts than the head says. Strength re the thresholds in use, which are 1.',
    head: ['strokes', ...FALSE_SHARES.map((share) => `${share * 100} % false`)],
    rows,
  };
}

function saidShare(scores: readonly ContactScore[], passage: 'slow' | 'fast'): number {
  const own = scores.filter((score) => score.passage === passage);
  return own.filter(({ said }) => said).length / Math.max(1, own.length);
}
