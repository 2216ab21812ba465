/**
 * What a contact's probability is worth, and how it is fitted.
 *
 * Fitted on made recordings of the variant `training`; judged on the
 * variant `judging` and on noises before tones of other keys.
 * Right is a contact said within 5 ms of one that made a sound. Logistic regression by iterated weighted least squares with
 * a small ridge (D. R. Cox, "The regression analysis of binary sequences", J. Roy. Stat. Soc. B 20, 1958).
 */

import { makePractice } from '../../src/synthesis/practice.ts';
import { Pyramid } from '../../src/signal/pyramid.ts';
import { contactConfidence, contactTerms, type ContactGrounds } from '../../src/strokes/contactConfidence.ts';
import { decideContacts, seekContacts } from '../../src/strokes/contacts.ts';
import { hear } from '../../src/strokes/hear.ts';
import type { MidiNote } from '../../src/units.ts';
import { seedOf } from './chance.ts';
import { scoresOf, type ContactCase } from './contactSections.ts';
import { figure, perCent, type Table } from './table.ts';

const RIGHT_WITHIN = 0.005;
const STROKE_NEAR = 0.03;
const RATE = 48_000;
const ROOMS = [30, 40, 50] as const;
const KEYS: readonly (readonly MidiNote[])[] = [
  [28, 45, 62, 79, 96],
  [33, 50, 67, 84, 101],
  [38, 55, 72, 89, 59],
  [43, 60, 77, 52, 69],
].map((keys) => keys as MidiNote[]);

/** A contact that was said, and whether it was one. */
export interface SaidOrNot {
  readonly grounds: ContactGrounds;
  readonly confidence: number;
  readonly right: boolean;
}

/** Every contact said in made recordings of a variant; in every fourth recording no contact makes a sound. */
export function saidInPractice(variant: 'training' | 'judging', rounds = KEYS.length): SaidOrNot[] {
  const said: SaidOrNot[] = [];
  for (const snrDb of ROOMS) {
    for (let round = 0; round < rounds; round++) {
      const { samples, truth } = makePractice(
        {
          variant,
          sampleRate: RATE,
          snrDb,
          hand: round === 3 ? { contact: 'none' } : {},
          notes: KEYS[round].map((midi) => ({
            midi,
            passages: [
              { kind: 'slow', strokes: 9 },
              { kind: 'fast', strokes: 10, returnMm: 11 },
              { kind: 'gentle', strokes: 3 },
            ],
          })),
        },
        seedOf(snrDb, round, variant.length),
      );
      const sounding = truth.strokes.filter(({ onsetSeconds }) => onsetSeconds !== null);
      const found = seekContacts(new Pyramid(samples, RATE), hear(samples, RATE).takes);
      for (const { stroke, grounds } of found.flatMap((take) => decideContacts(take))) {
        if (!grounds) continue;
        const own = sounding.find(({ onsetSeconds }) => Math.abs(onsetSeconds! - stroke.onsetSeconds!) < STROKE_NEAR);
        said.push({
          grounds,
          confidence: stroke.contactConfidence!,
          right:
            own !== undefined &&
            own.contactAudible &&
            Math.abs(own.contactSeconds! - stroke.contactSeconds!) <= RIGHT_WITHIN,
        });
      }
    }
  }
  return said;
}

/** The same of noises laid before real tones. */
export function saidInCases(cases: readonly ContactCase[]): SaidOrNot[] {
  return scoresOf(cases).flatMap(({ said, grounds }) =>
    said && grounds
      ? [
          {
            grounds,
            confidence: said.confidence,
            right: said.placeError !== null && Math.abs(said.placeError) <= RIGHT_WITHIN,
          },
        ]
      : [],
  );
}

const RIDGE = 2;
const ROUNDS = 30;

/** Weights of {@link contactTerms} that make what was said right likeliest. */
export function fittedWeights(said: readonly SaidOrNot[]): number[] {
  const terms = said.map(({ grounds }) => contactTerms(grounds));
  const size = terms[0].length;
  let weights = new Array<number>(size).fill(0);
  for (let round = 0; round < ROUNDS; round++) {
    const normal = Array.from({ length: size }, (_, i) =>
      Array.from({ length: size + 1 }, (_, j) =>
        j === size ? -RIDGE * (i ? weights[i] : 0) : i === j && i ? RIDGE : 0,
      ),
    );
    said.forEach(({ grounds, right }, n) => {
      const p = contactConfidence(grounds, weights);
      terms[n].forEach((x, i) => {
        terms[n].forEach((y, j) => (normal[i][j] += x * y * (p * (1 - p) + 1e-6)));
        normal[i][size] += x * ((right ? 1 : 0) - p);
      });
    });
    const step = solved(normal);
    weights = weights.map((weight, i) => weight + step[i]);
  }
  return weights;
}

/** Gaussian elimination with the largest pivot; rows hold the right-hand side last. */
function solved(rows: number[][]): number[] {
  const size = rows.length;
  for (let c = 0; c < size; c++) {
    const pivot = rows.reduce((best, row, r) => (r >= c && Math.abs(row[c]) > Math.abs(rows[best][c]) ? r : best), c);
    [rows[c], rows[pivot]] = [rows[pivot], rows[c]];
    for (let r = 0; r < size; r++) {
      if (r === c) continue;
      const share = rows[r][c] / rows[c][c];
      for (let k = c; k <= size; k++) rows[r][k] -= share * rows[c][k];
    }
  }
  return rows.map((row, i) => row[size] / row[i]);
}

const BINS = [0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1] as const;

/** What was said against what was right, in bins. */
export function reliability(parts: readonly { readonly name: string; readonly said: readonly SaidOrNot[] }[]): Table {
  return {
    title: 'Contacts: what the probabilities are worth',
    rests:
      'Contacts said, in bins of the probability said, and the share of them that was right: within 5 ms of a contact that ' +
      'made a sound. Fitted on made recordings of another piano, hand and room than those here.',
    head: ['contacts in', 'said', 'contacts', 'mean said %', 'right %'],
    rows: parts.flatMap(({ name, said }) => [
      ...BINS.slice(1).flatMap((high, i) => {
        const own = said.filter(
          ({ confidence }) => confidence >= BINS[i] && (confidence < high || (high === 1 && confidence <= 1)),
        );
        return own.length ? [[name, `${figure(BINS[i], 2)} to ${figure(high, 2)}`, ...binCells(own)]] : [];
      }),
      [name, 'all', ...binCells(said)],
    ]),
  };
}

function binCells(said: readonly SaidOrNot[]): string[] {
  const n = Math.max(1, said.length);
  return [
    `${said.length}`,
    perCent(said.reduce((sum, { confidence }) => sum + confidence, 0) / n),
    perCent(said.filter(({ right }) => right).length / n),
  ];
}
