/**
 * From string contacts to the strokes of a take, as the hearing gives them: the same passages, empty beats and strengths.
 *
 * Passages and strengths are found by the program's own modules; only what needs sound (how surely, how bright) is drawn.
 */

import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import type { RecordedTake } from '../../src/steadiness/round.ts';
import { sureOfKind } from '../../src/strokes/confidence.ts';
import { FIRM_OVER, relativeStrokes } from '../../src/strokes/force.ts';
import { DAMPED_FROM } from '../../src/strokes/gaps.ts';
import { passagesOf } from '../../src/strokes/passages.ts';
import type { Absence, Preceding } from '../../src/strokes/types.ts';
import type { RandomStream } from '../../src/synthesis/random.ts';
import type { MidiNote } from '../../src/units.ts';
import type { Sounded } from './playing.ts';

const ONSET_ERROR = 0.00005;
const KNOCK_FROM = 72;

/** The strokes of one take, in order of time, and its rate. */
export function heardTake(
  random: RandomStream,
  events: readonly Sounded[],
  midi: MidiNote,
  { take, asked, touch }: Pick<RecordedTake, 'take' | 'asked' | 'touch'>,
): { take: RecordedTake; strokes: RecordedStroke[] } {
  const raw = [...events].sort((a, b) => a.onset - b.onset);
  const single = raw.filter(({ double }) => !double);
  // A double belongs to the stroke before it.
  let last = -1;
  const singleOf = raw.map(({ double }) => (double ? Math.max(0, last) : ++last));
  const { passages, missing, rate } = passagesOf(single.map(({ onset }) => onset));
  const relative = relativeStrokes(
    raw.map(({ level, double }, i) => ({ level, double, passage: passages[singleOf[i]] ?? null })),
  );
  const precedingOf = (i: number, at: number, gapDb: number | null): Preceding => {
    if (i < 0) return { kind: 'none', restSeconds: null, damped: null, gapDb: null };
    const { passage, relativeDb } = relative[i];
    const firm = passage === 'slow' && relativeDb !== null && relativeDb >= FIRM_OVER;
    const damped = gapDb === null ? null : gapDb >= DAMPED_FROM;
    return { kind: firm ? 'firm' : (passage ?? 'slow'), restSeconds: at - raw[i].onset, damped, gapDb };
  };
  const knock = midi < KNOCK_FROM ? ('masked' as const) : ('none-heard' as const);

  const sounded = raw.map((event, i): RecordedStroke => {
    const { relativeDb, force, faint, passage } = relative[i];
    return {
      take,
      midi,
      kind: event.double ? 'double' : faint ? 'silent' : 'sounded',
      timeSeconds: event.onset,
      contactSeconds: event.contact,
      contactRiseSeconds: event.contact === null ? null : event.contact + 0.001,
      otherContactSeconds: event.other,
      onsetSeconds: event.onset,
      onsetErrorSeconds: ONSET_ERROR,
      keyBottomSeconds: null,
      levelDb: event.level,
      relativeDb,
      force,
      brightness: -18 + 0.5 * (event.level + 26),
      knockDb: null,
      passage,
      group: null,
      preceding: precedingOf(i - 1, event.onset, event.gapDb),
      confidence:
        (event.double ? random.between(0.7, 0.99) : random.between(0.95, 0.995)) * sureOfKind(relativeDb, faint),
      contactConfidence:
        event.contact === null ? null : random.between(event.wrong ? 0.4 : 0.7, event.wrong ? 0.9 : 0.99),
      absent: event.absent
        ? { contact: event.absent, keyBottom: 'not-sought', knock }
        : { keyBottom: 'not-sought', knock },
      doubt: event.other === null ? [] : ['two-candidates'],
    };
  });
  const silent = missing.map(({ seconds, after }): RecordedStroke => {
    const none: Absence = 'none-heard';
    return {
      take,
      midi,
      kind: 'silent',
      timeSeconds: seconds,
      contactSeconds: null,
      contactRiseSeconds: null,
      otherContactSeconds: null,
      onsetSeconds: null,
      onsetErrorSeconds: null,
      keyBottomSeconds: null,
      levelDb: null,
      relativeDb: null,
      force: null,
      brightness: null,
      knockDb: null,
      passage: 'fast',
      group: null,
      preceding: precedingOf(raw.indexOf(single[after]), seconds, null),
      confidence: random.between(0.6, 0.97),
      contactConfidence: null,
      absent: { contact: 'not-sought', onset: none, level: none, keyBottom: 'not-sought', knock: 'not-sought' },
      doubt: ['inferred-from-beat'],
    };
  });
  const strokes = [...sounded, ...silent].sort((a, b) => a.timeSeconds - b.timeSeconds);
  return { take: { take, midi, asked, touch, ratePerSecond: rate }, strokes };
}
