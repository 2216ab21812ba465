/** Counting what is lost between a piano as it was played and as it was heard: strokes, names, contacts, verdicts. */

import { matchOnsets } from '../../src/evaluation/matching.ts';
import type { Verdict } from '../../src/steadiness/kinds.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { LEAST_DECIDING } from '../../src/steadiness/travel/judgeTravel.ts';
import { NO_TAKE_DOUBTS } from '../../src/strokes/types.ts';
import type { MidiNote, Seconds } from '../../src/units.ts';
import type { Faulty, HeardPiano } from './soundPiano.ts';
import { isRight, trueOf, trueRound, type Judgement } from './soundTruth.ts';

export const KINDS = ['usual', 'weak', 'silent', 'double'] as const;
export type Kind = (typeof KINDS)[number];

/** What a stroke counts as: silent, too weak for a quick repeat, a second contact, or a stroke as usual. */
export function kindOf({ kind, force }: RecordedStroke): Kind {
  if (kind !== 'sounded') return kind;
  return force === 'weak' ? 'weak' : 'usual';
}

/** An onset is the same stroke within so much, a beat that stayed empty within more. */
const NEAR: Readonly<Record<Kind, Seconds>> = { usual: 0.03, weak: 0.03, double: 0.03, silent: 0.08 };

export interface KindCount {
  played: number;
  found: number;
  extra: number;
}

/** Strokes by kind: played, found as that kind, and said to be of that kind though they were not. */
export function kindCounts(pianos: readonly HeardPiano[]): Record<Kind, KindCount> {
  const none = (): KindCount => ({ played: 0, found: 0, extra: 0 });
  const counts = { usual: none(), weak: none(), silent: none(), double: none() };
  for (const { piano, document } of pianos) {
    const known = trueRound(piano, true).strokes;
    for (const kind of KINDS) {
      const timesOf = (strokes: readonly RecordedStroke[]) =>
        strokes.filter((stroke) => kindOf(stroke) === kind && ofTake(stroke)).map(({ timeSeconds }) => timeSeconds);
      const { pairs, missed, extra } = matchOnsets(timesOf(known), timesOf(document.strokes), NEAR[kind]);
      counts[kind].played += pairs.length + missed.length;
      counts[kind].found += pairs.length;
      counts[kind].extra += extra.length;
    }
  }
  return counts;
}

function ofTake({ doubt }: RecordedStroke): boolean {
  return !NO_TAKE_DOUBTS.some((reason) => doubt.includes(reason));
}

/** Onsets lost altogether, onsets made up, and notes whose strokes bear another name, or none. */
export interface Losses {
  played: number;
  lost: number;
  madeUp: number;
  notes: number;
  readonly misnamed: { readonly played: MidiNote; readonly heard: MidiNote | null; readonly snrDb: number }[];
}

export function losses(pianos: readonly HeardPiano[]): Losses {
  const sum: Losses = { played: 0, lost: 0, madeUp: 0, notes: 0, misnamed: [] };
  for (const heard of pianos) {
    const known = trueOf(heard);
    const matched = [...known].flatMap(([stroke, one]) => (one === null ? [] : [{ stroke, one }]));
    const played = heard.piano.practice.truth.strokes.filter(({ onsetSeconds }) => onsetSeconds !== null);
    sum.played += played.length;
    sum.lost += played.length - matched.length;
    sum.madeUp += known.size - matched.length;
    for (const midi of heard.piano.notes.keys()) {
      sum.notes++;
      const own = matched.filter(({ one, stroke }) => one.midi === midi && ofTake(stroke));
      if (own.filter(({ stroke }) => stroke.midi === midi).length * 2 > own.length) continue;
      sum.misnamed.push({ played: midi, heard: own[0]?.stroke.midi ?? null, snrDb: heard.snrDb });
    }
  }
  return sum;
}

/** A slow stroke that sounded and was heard, and what was said of its contact. */
export interface SlowContact {
  /** The noise that the contact made; `mute` for none. */
  readonly noise: 'click' | 'thump' | 'mute';
  readonly twoPlaces: boolean;
  /** Said in one place; null where it was not. `late`: said after it was, seconds. */
  readonly said: { readonly confidence: number; readonly right: boolean; readonly late: Seconds } | null;
}

export function slowContacts(pianos: readonly HeardPiano[]): SlowContact[] {
  return pianos.flatMap((heard) =>
    [...trueOf(heard)].flatMap(([stroke, one]): SlowContact[] => {
      if (one?.kind !== 'sounded' || one.passage !== 'slow') return [];
      const { contactSeconds, contactConfidence, otherContactSeconds, doubt } = stroke;
      const twoPlaces = otherContactSeconds !== null || doubt.includes('two-candidates');
      const said =
        contactSeconds === null || twoPlaces
          ? null
          : {
              confidence: contactConfidence ?? 1,
              right: isRight(stroke, one),
              late: contactSeconds - one.contactSeconds!,
            };
      return [{ noise: one.contactKind ?? 'mute', twoPlaces, said }];
    }),
  );
}

/** Repeats that were weak and are said to be silent: too faint, or not there. */
export function weakAsSilent(pianos: readonly HeardPiano[]): number {
  return pianos.reduce((sum, heard) => {
    const weak = new Set(
      trueRound(heard.piano, true).strokes.flatMap((s) => (kindOf(s) === 'weak' ? [s.onsetSeconds] : [])),
    );
    return (
      sum + [...trueOf(heard)].filter(([s, one]) => one && weak.has(one.onsetSeconds) && kindOf(s) === 'silent').length
    );
  }, 0);
}

/** What a judgement says of one piano. */
export interface PianoCount {
  /** Usable slow strokes of a note, mean; and the share of the notes that have four or more. */
  readonly usable: number;
  readonly decidable: number;
  readonly hand: Judgement['hand'];
  /** Notes in order, and their verdicts; a note that is not there under its name has none. */
  readonly good: { readonly n: number } & Readonly<Record<Verdict, number>>;
  readonly faults: readonly FaultSaid[];
}

/** What was said of a note with a fault. */
export interface FaultSaid {
  readonly faulty: Faulty;
  /** Null where the note is not there under its name. */
  readonly verdict: Verdict | null;
  /** A finding of the right kind: the note is unstable, or to be watched, for that reason. */
  readonly named: boolean;
}

export function pianoCount({ piano }: HeardPiano, { hand, notes }: Judgement): PianoCount {
  const byNote = new Map(notes.map((note) => [note.midi, note]));
  const usable = [...piano.notes.keys()].map(
    (midi) => byNote.get(midi)?.measures.find(({ kind }) => kind === 'travel-at-level')?.n ?? 0,
  );
  const good = { n: 0, steady: 0, watch: 0, unstable: 0, insufficient: 0 };
  const faults: FaultSaid[] = [];
  for (const [midi, faulty] of piano.notes) {
    const result = byNote.get(midi);
    if (faulty === null) {
      good.n++;
      if (result) good[result.verdict]++;
    } else {
      const named = result?.findings.some(({ kind }) => faulty.names.includes(kind)) ?? false;
      faults.push({ faulty, verdict: result?.verdict ?? null, named });
    }
  }
  return {
    usable: usable.reduce((sum, n) => sum + n, 0) / usable.length,
    decidable: usable.filter((n) => n >= LEAST_DECIDING).length / usable.length,
    hand,
    good,
    faults,
  };
}
