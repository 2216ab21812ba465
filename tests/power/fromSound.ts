/**
 * The judgement from sound: whole pianos of practice recordings through the whole program, beside the same judgement given
 * the truth, in steps (see `soundTruth.ts`); and what another limit of a contact's confidence would make of it.
 *
 * `npm run power -- --sound`. Both variants are models; `judging` is the one that no constant was fitted on.
 */

import { figure, perCent, type Table } from '../accuracy/table.ts';
import {
  KINDS,
  kindCounts,
  losses,
  pianoCount,
  type FaultSaid,
  type PianoCount,
  slowContacts,
  weakAsSilent,
} from './soundCounts.ts';
import { listen, PLANTED, soundPiano, type HeardPiano, type Scene } from './soundPiano.ts';
import { judgeFrom, judgeStep, STEPS, type Step } from './soundTruth.ts';
import { meanOf, shareOf } from './tally.ts';
import { keyName } from '../../src/piano/keys.ts';
import { LEAST_CONTACT_CONFIDENCE } from '../../src/steadiness/measures.ts';
import type { Decibels } from '../../src/units.ts';

interface Part {
  readonly scene: Scene;
  readonly seeds: readonly number[];
  readonly rooms: readonly Decibels[];
}

const ROOMS: readonly Decibels[] = [45, 25];

/** What is listened to: few pianos, for each takes half a minute. */
export const PARTS: readonly Part[] = [
  { scene: { variant: 'judging', contact: 'mixed' }, seeds: [1, 2], rooms: ROOMS },
  { scene: { variant: 'judging', contact: 'click' }, seeds: [1], rooms: ROOMS },
  { scene: { variant: 'judging', contact: 'thump' }, seeds: [1], rooms: ROOMS },
  { scene: { variant: 'training', contact: 'mixed' }, seeds: [1, 2], rooms: [45] },
];

/** Limits of a contact's confidence that are compared. */
const LIMITS = [0.3, 0.5, 0.7, 0.9] as const;

/** Pianos of one scene in one room, with their judgements. */
interface Cell {
  readonly name: string;
  readonly snrDb: Decibels;
  readonly variant: Scene['variant'];
  readonly pianos: readonly HeardPiano[];
  readonly steps: ReadonlyMap<Step, readonly PianoCount[]>;
  readonly limits: ReadonlyMap<number, readonly PianoCount[]>;
}

/** Listens to everything and counts. `say` is told what is being listened to. */
export function soundTables(say: (what: string) => void, parts: readonly Part[] = PARTS): Table[] {
  const cells = parts.flatMap((part) => cellsOf(part, say));
  return [strokesTable(cells), contactsTable(cells), handTable(cells), goodTable(cells), faultsTable(cells)].concat(
    bandsTable(cells),
    limitsTable(cells),
  );
}

function cellsOf({ scene, seeds, rooms }: Part, say: (what: string) => void): Cell[] {
  const heard = new Map(rooms.map((snrDb): [Decibels, HeardPiano[]] => [snrDb, []]));
  for (const seed of seeds) {
    say(`${scene.variant}, ${scene.contact}, piano ${seed}`);
    const piano = soundPiano(scene, seed);
    for (const snrDb of rooms) heard.get(snrDb)!.push(listen(piano, snrDb));
  }
  return rooms.map((snrDb) => {
    const pianos = heard.get(snrDb)!;
    return {
      name: `${scene.variant}, ${scene.contact}, ${snrDb} dB`,
      snrDb,
      variant: scene.variant,
      pianos,
      steps: new Map(STEPS.map((step) => [step, pianos.map((one) => pianoCount(one, judgeStep(one, step)))])),
      limits: new Map(LIMITS.map((least) => [least, pianos.map((one) => pianoCount(one, judgeFrom(one, least)))])),
    };
  });
}

const PIANO =
  'Practice recordings of whole pianos: every third key, 8 slow and 12 fast strokes each, 9 of 29 notes with a fault; ' +
  'variant, noise of the finger on the key (by itself: thumps and clicks mixed), tone over background noise. Numbered from 1 ' +
  'within each variant: piano 1 is the same, stroke by stroke, in every room and with every noise of the finger.';

function strokesTable(cells: readonly Cell[]): Table {
  const names: string[] = [];
  return {
    title: 'From sound: strokes',
    rests: `${PIANO} Of each kind: found of played, and + said of a stroke that was of another kind, or none.`,
    head: ['pianos', 'n', 'onsets', 'lost %', 'made up', ...KINDS, 'weak as silent', 'notes misnamed'],
    rows: cells.map(({ name, pianos }) => {
      const { played, lost, madeUp, notes, misnamed } = losses(pianos);
      const counts = kindCounts(pianos);
      for (const one of misnamed) {
        names.push(`${name}: ${keyName(one.played)} heard as ${one.heard === null ? 'nothing' : keyName(one.heard)}`);
      }
      return [
        name,
        `${pianos.length}`,
        `${played}`,
        perCent(lost / played),
        `${madeUp}`,
        ...KINDS.map((kind) => `${counts[kind].found}/${counts[kind].played} +${counts[kind].extra}`),
        `${weakAsSilent(pianos)}`,
        `${misnamed.length} of ${notes}`,
      ];
    }),
    notes: names,
  };
}

/** Said so long after the contact that was, it is likely the same noise, found late. */
const LATE = [0.005, 0.03] as const;

function contactsTable(cells: readonly Cell[]): Table {
  return {
    title: 'From sound: contacts of slow strokes',
    rests:
      `${PIANO} By the noise that the contact made. Right: said within 5 ms of one that made a noise; late: said 5 to 30 ms ` +
      'after it; counted: confidence of 0.5 and more.',
    head: ['pianos, noise', 'strokes', 'said %', 'two places %', 'right %', 'late %', 'counted %', 'of these right %'],
    rows: cells.flatMap(({ name, pianos }) => {
      const all = slowContacts(pianos);
      return (['click', 'thump', 'mute'] as const).flatMap((noise) => {
        const own = all.filter((one) => one.noise === noise);
        if (own.length === 0) return [];
        const said = own.flatMap((one) => one.said ?? []);
        const counted = said.filter(({ confidence }) => confidence >= LEAST_CONTACT_CONFIDENCE);
        const late = said.filter((one) => one.late > LATE[0] && one.late <= LATE[1]);
        const right = (some: typeof said) => some.filter((one) => one.right).length;
        const counts = [
          said.length,
          own.filter((one) => one.twoPlaces).length,
          right(said),
          late.length,
          counted.length,
        ];
        return [
          [
            `${name}: ${noise}`,
            `${own.length}`,
            ...counts.map((count) => perCent(count / own.length, 0)),
            counted.length ? perCent(right(counted) / counted.length, 0) : '-',
          ],
        ];
      });
    }),
  };
}

const STEP_WORDS: Readonly<Record<Step, string>> = {
  truth: 'the truth',
  audible: '.. without mute contacts',
  strokes: '.. strokes as heard',
  right: '.. right contacts as heard',
  heard: '.. all as heard',
};

const mean = (values: readonly (number | null | undefined)[], decimals: number, factor = 1): string => {
  const known = values.filter((value) => value !== null && value !== undefined);
  return known.length ? figure(factor * meanOf(known).value, decimals) : '-';
};

function handTable(cells: readonly Cell[]): Table {
  return {
    title: 'From sound: hand and base rates',
    rests: `${PIANO} Each step takes one thing from the truth. Means over the pianos; scale and slips are stated whether or not they may serve.`,
    head: [
      'pianos, step',
      'usable a note',
      'with 4 %',
      'scale serves',
      'scale %',
      'slips %',
      'silent %',
      'weak too %',
      'doubles %',
      'returns',
    ],
    rows: cells.flatMap(({ name, steps }) =>
      STEPS.map((step) => {
        const own = steps.get(step)!;
        const hands = own.map(({ hand }) => hand);
        return [
          `${name}: ${STEP_WORDS[step]}`,
          mean(
            own.map(({ usable }) => usable),
            1,
          ),
          mean(
            own.map(({ decidable }) => decidable),
            0,
            100,
          ),
          `${hands.filter(({ reference }) => reference !== 'none').length} of ${hands.length}`,
          mean(
            hands.map(({ scalePercent }) => scalePercent),
            2,
          ),
          mean(
            hands.map(({ slipRate }) => slipRate),
            1,
            100,
          ),
          mean(
            hands.map(({ baseRates }) => baseRates?.steady.silent),
            1,
            100,
          ),
          mean(
            hands.map(({ baseRates }) => baseRates?.steady.faint),
            1,
            100,
          ),
          mean(
            hands.map(({ baseRates }) => baseRates?.doubles),
            1,
            100,
          ),
          [...new Set(hands.map(({ returns }) => returns))].join(', '),
        ];
      }),
    ),
  };
}

const VERDICTS = ['unstable', 'watch', 'steady', 'insufficient'] as const;

function goodCells(own: readonly PianoCount[]): string[] {
  const n = own.reduce((sum, { good }) => sum + good.n, 0);
  const counts = VERDICTS.map((verdict) => own.reduce((sum, { good }) => sum + good[verdict], 0));
  return [`${n}`, ...counts.map(String), `${n - counts.reduce((sum, count) => sum + count, 0)}`];
}

function goodTable(cells: readonly Cell[]): Table {
  return {
    title: 'From sound: notes in order',
    rests: `${PIANO} One look a note. Absent: not there under its own name.`,
    head: ['pianos, step', 'notes', ...VERDICTS, 'absent'],
    rows: cells.flatMap(({ name, steps }) =>
      STEPS.map((step) => [`${name}: ${STEP_WORDS[step]}`, ...goodCells(steps.get(step)!)]),
    ),
  };
}

function faultCell(faults: readonly FaultSaid[]): string {
  const unstable = faults.filter(({ verdict, named }) => verdict === 'unstable' && named).length;
  return `${unstable} ${faults.filter(({ named }) => named).length}`;
}

/** Faults, pooled over the noises of the finger: they are planted once in a piano. */
function faultsTable(cells: readonly Cell[]): Table {
  const groups = [
    ['judging, 45 dB', cells.filter(({ variant, snrDb }) => variant === 'judging' && snrDb === 45)],
    ['judging, 25 dB', cells.filter(({ variant, snrDb }) => variant === 'judging' && snrDb === 25)],
    ['training, 45 dB', cells.filter(({ variant }) => variant === 'training')],
  ] as const;
  const shown = ['truth', 'strokes', 'heard'] as const;
  const of = (own: readonly Cell[], step: Step) =>
    own.flatMap(({ steps }) => steps.get(step)!.flatMap((one) => one.faults));
  return {
    title: 'From sound: planted faults',
    rests: `${PIANO} Two counts: unstable for that reason, and named at all (unstable or watch). One look a note. Of the four judged pianos three are one and the same with other noises: n counts it three times.`,
    head: [
      'fault',
      ...groups.flatMap(([name, own]) => [`${name}: n`, ...(own.length ? shown.map((step) => `${step}`) : [])]),
    ],
    rows: [...PLANTED, null].map((planted) => [
      planted === null ? 'all' : `${planted.fault.name} ${planted.fault.size}`,
      ...groups.flatMap(([, own]) => {
        const mine = (step: Step) => of(own, step).filter(({ faulty }) => planted === null || faulty === planted);
        return [`${mine('truth').length}`, ...(own.length ? shown.map((step) => faultCell(mine(step))) : [])];
      }),
    ]),
  };
}

const BANDS = [0, 0.3, 0.5, 0.7, 0.9, 1] as const;

function bandsTable(cells: readonly Cell[]): Table {
  return {
    title: 'From sound: what the confidence of a contact is worth',
    rests: `${PIANO} Contacts said of slow strokes, in bands of confidence: how many, and how many of them right, % with standard error.`,
    head: ['pianos', ...BANDS.slice(1).map((high, i) => `${figure(BANDS[i], 1)} to ${figure(high, 1)}`)],
    rows: cells.map(({ name, pianos }) => {
      const said = slowContacts(pianos).flatMap((one) => one.said ?? []);
      return [
        name,
        ...BANDS.slice(1).map((high, i) => {
          const own = said.filter(({ confidence: c }) => c >= BANDS[i] && (c < high || high === 1));
          if (own.length === 0) return '0';
          const { value, error } = shareOf(own.filter(({ right }) => right).length, own.length);
          return `${own.length}: ${perCent(value, 0)} ±${perCent(error, 0)}`;
        }),
      ];
    }),
  };
}

function limitsTable(cells: readonly Cell[]): Table {
  return {
    title: 'From sound: where contacts begin to count',
    rests:
      `${PIANO} The same strokes judged with another least confidence. Wandering: notes whose rest wanders ` +
      '(three in a piano), unstable for it and named at all.',
    head: [
      'pianos, least',
      'usable a note',
      'with 4 %',
      'scale serves',
      'scale %',
      'slips %',
      'notes',
      ...VERDICTS,
      'absent',
      'wandering',
    ],
    rows: cells.flatMap(({ name, limits, steps }) => {
      const row = (what: string, own: readonly PianoCount[]) => [
        `${name}: ${what}`,
        mean(
          own.map(({ usable }) => usable),
          1,
        ),
        mean(
          own.map(({ decidable }) => decidable),
          0,
          100,
        ),
        `${own.filter(({ hand }) => hand.reference !== 'none').length} of ${own.length}`,
        mean(
          own.map(({ hand }) => hand.scalePercent),
          2,
        ),
        mean(
          own.map(({ hand }) => hand.slipRate),
          1,
          100,
        ),
        ...goodCells(own),
        faultCell(own.flatMap(({ faults }) => faults.filter(({ faulty }) => faulty.names.includes('wandering-rest')))),
      ];
      return [
        row('true contacts', steps.get('strokes')!),
        ...LIMITS.map((least) => row(figure(least, 1), limits.get(least)!)),
      ];
    }),
  };
}
