/**
 * A whole sitting: every note once, then fresh strokes for what the judgement leaves open, twice at most, then the verdicts.
 *
 * First look: 8 slow strokes, one a second, and 12 at 6 a second let up a little less than half-way. Then for each open
 * note: six times one firm and two slow, twice 12 at 6 a second, and 12 at 8 a second let up a little more.
 */

import { judged } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument, NoteResult } from '../../src/analysis/document.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import type { RecordedTake } from '../../src/steadiness/round.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import type { MidiNote, Seconds } from '../../src/units.ts';
import { handOf, type Hand, type HandOptions } from './hand.ts';
import { heardTake } from './heard.ts';
import { pianoOf, type PianoNote, type PianoOptions } from './piano.ts';
import { playFast, playSlow, type Player } from './playing.ts';

export type SittingOptions = PianoOptions & { readonly hand: HandOptions };

/** What was played so far. */
export interface Sitting {
  readonly seed: number;
  readonly piano: readonly PianoNote[];
  readonly hand: Hand;
  readonly strokes: RecordedStroke[];
  readonly takes: RecordedTake[];
  now: Seconds;
}

/** A sitting with its final judgement. */
export interface Judged extends Sitting {
  readonly results: ReadonlyMap<MidiNote, NoteResult>;
  readonly judgement: Pick<AnalysisDocument, 'hand' | 'expectedFalseUnstable' | 'advice'>;
  readonly minutes: number;
  /** Time that judging took, all looks, milliseconds. */
  readonly judging: number;
}

export const LOOKS = 3;
/** From one note to the next. */
const BETWEEN: Seconds = 4;
const PAUSE: Seconds = 1.2;
const QUICKER_DEEPER = 1.25;
const EIGHT_SLOW = Array<boolean>(8).fill(false);
const FIRM_SLOW_SLOW = Array.from({ length: 18 }, (_, i) => i % 3 === 0);

/** A piano, a hand, nothing played. The same options and seed give the same. */
export function newSitting(options: SittingOptions, seed: number): Sitting {
  const piano = pianoOf(new RandomStream(seed, 'piano'), options);
  return { seed, piano, hand: handOf(new RandomStream(seed, 'hand'), options.hand), strokes: [], takes: [], now: 2 };
}

/** Plays one look of every one of `notes`. What a note plays at a look hangs on the seed alone, not on what else is played. */
export function playLook(sitting: Sitting, notes: readonly PianoNote[], look: number): void {
  const { hand, seed } = sitting;
  for (const note of notes) {
    const random = new RandomStream(seed, `note ${note.midi} look ${look}`);
    const player = playerOf(sitting, random, note);
    playSlow(player, look === 1 ? EIGHT_SLOW : hand.weight ? FIRM_SLOW_SLOW.map(() => false) : FIRM_SLOW_SLOW);
    if (hand.weight) finish(sitting, player, look, 'weight');
    const fast = hand.weight ? playerOf(sitting, random, note) : player;
    if (!hand.weight) fast.now += PAUSE;
    playFast(fast, 12, 6, hand.depth);
    if (look > 1) {
      fast.now += PAUSE;
      playFast(fast, 12, 6, hand.depth);
      fast.now += PAUSE;
      playFast(fast, 12, 8, hand.depth + QUICKER_DEEPER);
    }
    finish(sitting, fast, look, 'finger');
  }
}

function playerOf(sitting: Sitting, random: RandomStream, note: PianoNote): Player {
  const speed = random.normal(0, sitting.hand.takeSpeed);
  return { random, note, hand: sitting.hand, events: [], now: sitting.now, speed };
}

function finish(sitting: Sitting, player: Player, look: number, touch: 'finger' | 'weight'): void {
  const asked = look === 1 ? 'slow-fast' : 'open';
  const { take, strokes } = heardTake(player.random, player.events, player.note.midi, {
    take: sitting.takes.length + 1,
    asked,
    touch,
  });
  sitting.takes.push(take);
  sitting.strokes.push(...strokes);
  sitting.now = player.now + BETWEEN;
}

/** True where the judgement asks for more of a note. */
export function isOpen({ verdict, strokesNeeded }: NoteResult): boolean {
  return strokesNeeded !== null && verdict !== 'unstable' && verdict !== 'steady';
}

/** Plays and judges a whole sitting. */
export function sit(options: SittingOptions, seed: number): Judged {
  const sitting = newSitting(options, seed);
  let judging = 0;
  const judge = () => {
    const start = performance.now();
    const judgement = judged(sitting.strokes, sitting.takes);
    judging += performance.now() - start;
    return judgement;
  };
  playLook(sitting, sitting.piano, 1);
  let judgement = judge();
  for (let look = 2; look <= LOOKS; look++) {
    const open = new Set(judgement.notes.filter(isOpen).map(({ midi }) => midi));
    if (open.size === 0) break;
    playLook(
      sitting,
      sitting.piano.filter(({ midi }) => open.has(midi)),
      look,
    );
    judgement = judge();
  }
  const results = new Map(judgement.notes.map((note) => [note.midi, note]));
  return { ...sitting, results, judgement, minutes: sitting.now / 60, judging };
}
