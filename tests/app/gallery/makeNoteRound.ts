/**
 * Writes `noteRound.json`: a seeded practice round, analysed as any recording is.
 *
 * Run by `npx tsx tests/app/gallery/makeNoteRound.ts`. To be run again whenever the analysis changes its numbers.
 */

import { writeFileSync } from 'node:fs';
import { analyse } from '../../../src/analysis/analyse.ts';
import { together } from '../../../src/analysis/together.ts';
import { parseKeyName } from '../../../src/piano/keys.ts';
import type { NotePlan, PassagePlan } from '../../../src/synthesis/plan.ts';
import { makePractice } from '../../../src/synthesis/practice.ts';

const SLOW: PassagePlan = { kind: 'slow', strokes: 10 };
const FAST: PassagePlan = { kind: 'fast', strokes: 12 };
const RIGHT_UP: PassagePlan = { kind: 'fast', strokes: 12, returnMm: 11, returnSdMm: 0 };
const GENTLE: PassagePlan = { kind: 'gentle', strokes: 8 };

const note = (name: string, passages: readonly PassagePlan[], faults: NotePlan['faults'] = []): NotePlan => ({
  midi: parseKeyName(name),
  passages,
  faults,
});

type Asked = 'slow-fast' | 'gentle' | 'full-return';

/** Each is a recording of its takes, one after the other. The plain notes are there so that hand and base rates are known. */
const RECORDINGS: readonly (readonly { readonly plan: NotePlan; readonly asked: Asked }[])[] = [
  ...['A2', 'C3', 'E3', 'G3', 'B3', 'C4', 'E4', 'G4', 'C5', 'E5', 'A4', 'A4'].map((name) => [
    { plan: note(name, [SLOW, FAST]), asked: 'slow-fast' as const },
  ]),
  [{ plan: note('D#3', [SLOW, FAST], [{ name: 'missed-repeats', size: 0.5 }]), asked: 'slow-fast' }],
  [{ plan: note('D#3', [SLOW, FAST], [{ name: 'missed-repeats', size: 0.5 }]), asked: 'slow-fast' }],
  [{ plan: note('D#3', [RIGHT_UP]), asked: 'full-return' }],
  [{ plan: note('F4', [SLOW, FAST]), asked: 'slow-fast' }],
  [{ plan: note('F4', [SLOW, GENTLE]), asked: 'gentle' }],
  [{ plan: note('B4', [{ kind: 'slow', strokes: 4 }]), asked: 'slow-fast' }],
];

/** Clear contacts: a curved fingertip near the microphone. */
const HAND = { contact: 'click', contactLevelDb: -34, inaudibleShare: { slow: 0.05 } } as const;
const SEED = 41;

const documents = RECORDINGS.map((takes, i) => {
  const plan = { variant: 'training', sampleRate: 32000, hand: HAND, notes: takes.map((take) => take.plan) } as const;
  const { samples, sampleRate } = makePractice(plan, SEED + i);
  const file = `take-${i + 1}`;
  const source = { file, sampleRate, channels: 1, durationSeconds: samples.length / sampleRate };
  const document = analyse(samples, source, { firstNote: takes[0].plan.midi });
  // What was asked for is known to whoever kept the take, not to the sound.
  return { ...document, takes: document.takes.map((take, k) => ({ ...take, asked: takes[k]?.asked ?? null })) };
});
const round = together(documents);
writeFileSync(new URL('noteRound.json', import.meta.url), `${JSON.stringify(round)}\n`);
