/** Worklists of an invented visit, made from its record as the app makes them. */

import { workView } from '../../../src/app/work/workView.ts';
import type { WorkView } from '../../../src/app/work/view.ts';
import type { ChangeWord } from '../../../src/app/compass/changes.ts';
import type { Verdict } from '../../../src/analysis/document.ts';
import { afterAdjustment } from '../../../src/piano/notePlans.ts';
import { parseKeyName } from '../../../src/piano/keys.ts';
import { looksFor, sayLook } from '../../../src/piano/looks.ts';
import type { Symptom } from '../../../src/piano/symptoms.ts';
import { newAdjustment, newMark, newPiano, newRound, newWorkTime } from '../../../src/record/newThings.ts';
import { workNotes } from '../../../src/record/worklist.ts';

const piano = newPiano({ id: 'p1', name: 'Aldervane 274', place: 'Quillwater Hall' });
const visitId = 'v1';
const at = (time: string) => `2026-05-18T${time}:00.000Z`;

/** Note, verdict, finding, symptom, evidence. */
const FLAGGED: readonly (readonly [string, Verdict, string[], Symptom, string])[] = [
  ['B2', 'watch', ['silent-when-gentle'], 'silent-when-gentle', '3 of 8 gentle strokes did not speak.'],
  ['E4', 'watch', ['wandering-rest'], 'wanders', 'Its start wanders 1.7 times as far as a firm note’s (1.2 to 2.4).'],
  ['B3', 'unstable', ['wandering-rest'], 'wanders-widely', 'Its start wanders 3.1 times as far (2.2 to 4.5).'],
  [
    'D#3',
    'unstable',
    ['missed-repeats', 'weak-repeats'],
    'silent-repeats',
    '4 of 24 repeats did not speak, 3 were weak.',
  ],
  ['D5', 'unstable', ['weak-repeats'], 'weak-repeats', '5 of 24 repeats were weak.'],
  ['F#5', 'watch', ['early-or-late'], 'late', 'It comes 6 in 100 later than its neighbours (3 to 9).'],
  ['G#1', 'watch', ['double-strikes'], 'double-when-soft', '2 of 8 gentle strokes struck twice.'],
];
const midi = (name: string) => parseKeyName(name);
const words = { score: 0.5, line: 'This note may not come back to one place.', cautions: [], parts: [] };
const flaggedOf = (names: readonly string[]) =>
  FLAGGED.filter(([name]) => names.includes(name)).map(([name, , findings, symptom, evidence]) => ({
    ...{ ...words, midi: midi(name), findings, evidence: [evidence] },
    next: looksFor([symptom]).looks.map(sayLook),
  }));
const round = (number: number, steady: readonly string[], names: readonly string[]) =>
  newRound({
    ...{ id: `r${number}`, visitId, number, startedAt: at(number === 1 ? '08:50' : '14:30') },
    summary: {
      analysisVersion: '0.4.0',
      verdicts: [
        ...steady.map((name) => ({ midi: midi(name), verdict: 'steady' as const })),
        ...FLAGGED.filter(([name]) => names.includes(name)).map(([name, verdict]) => ({ midi: midi(name), verdict })),
      ],
      flagged: flaggedOf(names),
      line: [],
    },
  });
const all = FLAGGED.map(([name]) => name);
const rounds = [round(1, ['A4', 'C4', 'E5'], all), round(2, ['D5', 'A4'], ['D#3'])];
const turned = (name: string, what: 'lever' | 'spring' | 'let-off', told: string, time: string, afterRound = 1) =>
  newAdjustment({ id: `a-${name}-${time}`, visitId, midi: midi(name), at: at(time), afterRound, what, words: told });
const adjustments = [
  turned('B3', 'lever', 'lever down, an eighth', '11:20'),
  turned('D5', 'spring', 'spring stronger', '11:40'),
  turned('D#3', 'lever', 'lever up, an eighth', '11:50'),
  turned('G#1', 'let-off', 'let-off further, a quarter', '13:40'),
];
const marks = [
  newMark({ id: 'm1', visitId, midi: midi('F#5'), at: at('12:00'), kind: 'left-as-is' }),
  newMark({ id: 'm2', visitId, midi: midi('G#1'), at: at('15:20'), kind: 'done' }),
];
const hours = [
  newWorkTime({ id: 'h1', visitId, operation: 'lever', startedAt: at('10:50'), endedAt: at('11:55') }),
  newWorkTime({ id: 'h2', visitId, operation: 'springs-rough', startedAt: at('15:00') }),
];
const changes = new Map<number, ChangeWord>([
  [midi('D5'), 'improved'],
  [midi('D#3'), 'no-change-shown'],
]);
const view = (change: Partial<Parameters<typeof workView>[0]> = {}): WorkView =>
  workView({
    ...{
      piano,
      rounds,
      hours,
      changes,
      asked: [],
      withoutFresh: [],
      planAfter: null,
      readOnly: false,
      now: at('15:25'),
    },
    notes: workNotes({ rounds, adjustments, marks }),
    ...change,
  });

const TREBLE = newRound({
  ...{ id: 'r2', visitId, number: 2, startedAt: at('14:30') },
  summary: {
    analysisVersion: '0.4.0',
    verdicts: ['C5', 'C#5', 'D5', 'D#5', 'F5', 'F#5'].map((name) => ({ midi: midi(name), verdict: 'watch' as const })),
    flagged: [],
    line: [],
  },
});

export const WORK_VIEWS: Readonly<Record<string, WorkView>> = {
  full: view({ planAfter: afterAdjustment([midi('B3')], []) }),
  'dip-first': view({ piano: { ...piano, order: 'dip-first' } }),
  fresh: view({ withoutFresh: [midi('B2'), midi('E4')] }),
  asked: view({ asked: [{ midi: midi('D#3'), round: 1 }] }),
  'read-only': view({ readOnly: true }),
  nothing: view({ notes: [], hours: [], rounds: [round(1, ['A4', 'C4'], [])] }),
  unheard: view({ notes: [], hours: [], rounds: [] }),
  // Five of six notes of the treble.
  section: view({ rounds: [round(1, ['A4', 'C4', 'E5'], all), TREBLE] }),
  'section-chosen': view({
    rounds: [round(1, ['A4', 'C4', 'E5'], all), TREBLE].map((one) => ({
      ...one,
      plan: { ...one.plan, kind: 'hand-picked' },
    })),
  }),
  'upright-section': view({ piano: { ...piano, kind: 'upright' }, rounds: [TREBLE], hours: [] }),
  upright: view({ piano: { ...piano, kind: 'upright' } }),
};
