/**
 * Makes the demo visit: an invented visit to an invented grand, computed, heard and judged as any other. Two rounds: the whole
 * compass, then the notes that were worked on with their neighbours.
 *
 * Run by `npm run samples:demo` (some minutes). Needs the `flac` command. The same seeds give the same visit.
 */

import { execFileSync } from 'node:child_process';
import { mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { analyseTake, resultOf } from '../src/analysis/listening/keptTake.ts';
import { together } from '../src/analysis/together.ts';
import { compassRound } from '../src/pictures/compass/compassNote.ts';
import { keyName } from '../src/piano/keys.ts';
import { compass, handPicked } from '../src/piano/notePlans.ts';
import { READINESS_ITEMS } from '../src/piano/readiness.ts';
import {
  newAdjustment,
  newGaugeReading,
  newMark,
  newPiano,
  newRound,
  newTake,
  newVisit,
  newWorkTime,
} from '../src/record/newThings.ts';
import { summaryOf } from '../src/record/rounds.ts';
import type { Adjustment, Take } from '../src/record/types.ts';
import { fromSound16, toSound16 } from '../src/signal/sound16.ts';
import { makePractice, type FaultPlan, type NotePlan, type PassagePlan } from '../src/synthesis/practice.ts';
import { playTo } from '../tests/analysis/listening/play.ts';

const RATE = 32000;
const slow: PassagePlan = { kind: 'slow', strokes: 8 };
/** The keys are let up a little further than half-way, but for the notes in question, where less tells more. */
const fast: PassagePlan = { kind: 'fast', strokes: 12, returnMm: 5.7 };
const closer: PassagePlan = { kind: 'fast', strokes: 12, returnMm: 5.2 };
/** A microphone well placed: clicks are clear. */
const HAND = {
  contact: 'click',
  contactLevelDb: -32,
  contactLevelSdDb: 4,
  inaudibleShare: { slow: 0.04, fast: 0.4 },
  slipShare: 0.01,
} as const;
/** Notes heard one after the other in one piece of computing. */
const GROUP = 8;

/** What is wrong before the work, and what was turned for it. */
const WRONG: Readonly<
  Record<number, { faults: readonly FaultPlan[]; turned: Pick<Adjustment, 'what' | 'words' | 'eighths'> }>
> = {
  36: {
    faults: [{ name: 'weak-repeats', size: 0.5 }],
    turned: { what: 'spring', words: 'spring a little stronger', eighths: null },
  },
  51: {
    faults: [{ name: 'missed-repeats', size: 0.5 }],
    turned: { what: 'lever', words: 'lever up, an eighth', eighths: 1 },
  },
  59: {
    faults: [{ name: 'two-rest-heights', size: 15 }],
    turned: { what: 'lever', words: 'lever down, an eighth', eighths: 1 },
  },
  74: {
    faults: [{ name: 'missed-repeats', size: 0.4 }],
    turned: { what: 'spring', words: 'spring stronger', eighths: null },
  },
  82: {
    faults: [{ name: 'double-strikes', size: 0.35 }],
    turned: { what: 'let-off', words: 'let-off a little further', eighths: 1 },
  },
};
const WORKED = Object.keys(WRONG).map(Number);
/** B and E of most octaves. */
const UNTOUCHED = [23, 28, 40, 47, 52, 64, 71, 76, 88, 95];
/** Of these the sound is in the visit too. */
const SOUNDING = [51, 74];

const piano = newPiano({
  id: 'demo-piano',
  name: 'Aldervane 274',
  place: 'Quillwater Hall',
  lengthCm: 274,
  breaks: [47, 71, 91],
  highestDamper: 89,
});
const visit = newVisit({
  id: 'demo-visit',
  pianoId: piano.id,
  startedAt: '2026-05-18T08:40:00.000Z',
  endedAt: '2026-05-18T15:10:00.000Z',
  readiness: READINESS_ITEMS.map((item) => ({
    item,
    state: item === 'screws' ? 'put-right' : 'in-order',
  })),
  temperatureC: 21,
  humidityPercent: 46,
  lid: 'open',
  microphonePlace: 'on a cloth, left of the keys',
});

/** Made aside, and put in its place when it is whole. */
const place = fileURLToPath(new URL('demo/', import.meta.url));
const folder = mkdtempSync(`${place.slice(0, -1)}-`) + '/';

const plans = [
  { number: 1, from: '2026-05-18T08:55:00.000Z', to: '2026-05-18T09:24:00.000Z', plan: compass(), mended: false },
  {
    number: 2,
    from: '2026-05-18T14:30:00.000Z',
    to: '2026-05-18T14:52:00.000Z',
    // What was turned, a neighbour on either side, and ten that nobody touched.
    plan: handPicked([...WORKED.flatMap((midi) => [midi - 1, midi, midi + 1]), ...UNTOUCHED]),
    mended: true,
  },
];
const takes: Take[] = [];
const rounds = plans.map(({ number, from, to, plan, mended }) => {
  const id = `demo-round-${number}`;
  const midis = [...new Set(plan.steps.map(({ midi }) => midi))];
  const own: Take[] = [];
  for (let at = 0; at < midis.length; at += GROUP)
    own.push(...heard(id, midis.slice(at, at + GROUP), mended, own.length, from));
  takes.push(...own);
  const judged = together(own.map((take) => take.heard));
  console.log(
    number,
    own.length,
    judged.notes
      .filter(({ verdict }) => verdict !== 'steady')
      .map((n) => `${n.name} ${n.verdict}`)
      .join(', '),
  );
  const summary = summaryOf(judged, midis, compassRound(judged).notes);
  return newRound({ id, visitId: visit.id, number, startedAt: from, closedAt: to, plan, summary });
});
const adjustments = WORKED.map((midi) =>
  newAdjustment({
    id: `demo-adjustment-${midi}`,
    visitId: visit.id,
    midi,
    at: '2026-05-18T11:30:00.000Z',
    afterRound: 1,
    ...WRONG[midi].turned,
  }),
);

/** Read with a gauge at the bench, before and after, millimetres. */
const GAUGED = [
  [82, 'let-off', 0.8, 1.6],
  [82, 'drop', 0.5, 1.5],
  [51, 'blow', 46, 45.5],
  [59, 'blow', 44, 45.5],
] as const;
const gauges = GAUGED.flatMap(([midi, kind, ...read]) =>
  read.map((millimetres, i) =>
    newGaugeReading({
      id: `demo-gauge-${midi}-${kind}-${i}`,
      visitId: visit.id,
      midi,
      at: `2026-05-18T1${i}:40:00.000Z`,
      when: i === 0 ? 'before' : 'after',
      kind,
      millimetres,
    }),
  ),
);
const DONE = [36, 51, 82];
const marks = DONE.map((midi) =>
  newMark({ id: `demo-mark-${midi}`, visitId: visit.id, midi, at: '2026-05-18T15:00:00.000Z', kind: 'done' }),
);
const hours = [
  ['springs-rough', '10:05', '10:50'],
  ['lever', '10:50', '11:30'],
  ['let-off', '13:30', '14:05'],
].map(([operation, from, to], i) =>
  newWorkTime({
    id: `demo-hours-${i}`,
    visitId: visit.id,
    operation,
    startedAt: `2026-05-18T${from}:00.000Z`,
    endedAt: `2026-05-18T${to}:00.000Z`,
  }),
);
const document = { piano, visit, rounds, takes, adjustments, gauges, marks, hours };
// The last whole line alone: what Home shows before anything was heard.
writeFileSync(`${folder}line.json`, JSON.stringify(rounds[0].summary));
writeFileSync(`${folder}visit.packed`, gzipSync(JSON.stringify(document), { level: 9 }));
rmSync(place, { recursive: true, force: true });
renameSync(folder, place);

/** Plays some notes to the listener and keeps the takes that it cuts, as the app does. */
function heard(roundId: string, midis: readonly number[], mended: boolean, before: number, from: string): Take[] {
  const notes = midis.map((midi): NotePlan => ({
    midi,
    // Notes in question are played again, with fresh strokes: those that raised the doubt are no fair "before".
    passages: WRONG[midi] ? [slow, closer, slow, closer, closer, closer] : [slow, fast],
    faults: mended ? [] : (WRONG[midi]?.faults ?? []),
  }));
  const seed = 1700 + before + (mended ? 5000 : 0);
  const { samples } = makePractice({ variant: 'judging', sampleRate: RATE, notes, snrDb: 48, hand: HAND }, seed);
  const kept: Take[] = [];
  const padded = new Float32Array(samples.length + 3 * RATE);
  padded.set(samples);
  for (const said of playTo(fromSound16(toSound16(padded)), RATE)) {
    if (said.type !== 'take-ended') continue;
    const number = before + kept.length + 1;
    const id = `${roundId}-${keyName(said.midi).replace('#', 's')}-${number}`;
    const { asked, touch } = said;
    const document = analyseTake(
      { samples: said.samples, sampleRate: RATE, file: `${id}.wav` },
      { asked, touch, firstNote: null },
    );
    const { midi, worth } = resultOf(document, said.midi, asked, (note) => kept.some((take) => take.midi === note));
    if (worth !== 'enough') continue;
    const sounding = SOUNDING.includes(midi);
    if (sounding) writeFlac(`${folder}${id}.flac`, said.samples);
    const startedAt = new Date(Date.parse(from) + (number - 1) * 14_000).toISOString();
    kept.push(
      newTake({
        id,
        visitId: visit.id,
        roundId,
        number,
        midi,
        asked,
        touch,
        startedAt,
        sampleRate: RATE,
        frames: said.samples.length,
        pieces: sounding ? 1 : 0,
        heard: document,
      }),
    );
  }
  return kept;
}

function writeFlac(path: string, samples: Int16Array): void {
  const format = ['--force-raw-format', '--endian=little', '--sign=signed', '--channels=1', '--bps=16'];
  execFileSync('flac', [...format, `--sample-rate=${RATE}`, '--best', '--silent', '--force', '-o', path, '-'], {
    input: Buffer.from(samples.buffer, samples.byteOffset, samples.byteLength),
  });
}
