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
import { keyName } from '../src/piano/keys.ts';
import { compass, handPicked } from '../src/piano/notePlans.ts';
import { newAdjustment, newPiano, newRound, newTake, newVisit } from '../src/record/newThings.ts';
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
    faults: [{ name: 'missed-every-second', size: 0.9 }],
    turned: { what: 'spring', words: 'spring stronger', eighths: null },
  },
  82: {
    faults: [{ name: 'double-strikes', size: 0.35 }],
    turned: { what: 'let-off', words: 'let-off a little further', eighths: 1 },
  },
};
const WORKED = Object.keys(WRONG).map(Number);
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
    plan: handPicked(WORKED.flatMap((midi) => [midi - 2, midi, midi + 2])),
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
  const summary = summaryOf(judged, midis);
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

const document = { piano, visit, rounds, takes, adjustments };
writeFileSync(`${folder}visit.packed`, gzipSync(JSON.stringify(document), { level: 9 }));
rmSync(place, { recursive: true, force: true });
renameSync(folder, place);

/** Plays some notes to the listener and keeps the takes that it cuts, as the app does. */
function heard(roundId: string, midis: readonly number[], mended: boolean, before: number, from: string): Take[] {
  const notes = midis.map((midi): NotePlan => ({
    midi,
    // Notes that were worked on are played twice as long.
    passages: WRONG[midi] ? [slow, closer, closer] : [slow, fast],
    faults: mended ? [] : (WRONG[midi]?.faults ?? []),
  }));
  const seed = 700 + before + (mended ? 5000 : 0);
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
