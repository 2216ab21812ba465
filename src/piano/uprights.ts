/**
 * What may be said of an upright: what was measured, and no more.
 *
 * Everything that Evenfall knows of causes, and the verdict on how a hammer rests, is of the grand's action with its repetition
 * lever. An upright has none, so of its notes causes are left out and the rest gets no verdict; what was counted and timed stays.
 * The functions take a judged note or a round's summary and give it back as it may be shown; for a grand, unchanged.
 */

import { CAUTIONS } from './cautions.ts';

export type PianoKind = 'grand' | 'upright';

/** Why no causes stand there, one sentence; said once on each screen and page. */
export const UPRIGHT_WHY =
  'An upright has no repetition lever: its repeats come from the hammer butt, its spring and how far the key is let up, so what is found here is measured, not explained, and how the hammer rests gets no verdict.';

interface Words {
  readonly line: string;
  readonly evidence: readonly string[];
  readonly next: readonly string[];
  readonly cautions: readonly string[];
  readonly parts: readonly string[];
}

type Verdict = 'steady' | 'watch' | 'unstable' | 'insufficient';

/** Of a finding, as far as it is looked at here. */
interface Found {
  readonly kind: string;
  readonly unit: string;
  readonly interval: readonly [number, number];
}

/** Of a judged note, as far as it is looked at here. */
export interface Judged {
  readonly verdict: Verdict;
  readonly score: number;
  readonly findings: readonly Found[];
  readonly measures: readonly { readonly kind: string; readonly value: number }[];
  readonly couldHaveShown: { readonly modelMillimetres: number | null };
  readonly words: Words;
}

const REST = 'wandering-rest';
/** Findings that make a note unstable by themselves. */
const DECIDING: readonly string[] = ['missed-repeats', 'weak-repeats', 'double-strikes'];
/** A share that a hand by itself does not reach on a sound note (common practice, no source). */
const HAND_ALONE = 0.06;
/** What only supports counts for so much in the score. */
const SUPPORT_SCORE = 0.35;

/** One note of a round as it may be shown for such a piano. */
export function noteAsMeasured<N extends Judged>(note: N, kind: PianoKind): N {
  if (kind === 'grand') return note;
  const findings = note.findings.filter((finding) => finding.kind !== REST);
  const verdict = verdictWithoutRest(note, findings);
  const score = verdict === note.verdict ? note.score : verdict === 'watch' ? Math.min(SUPPORT_SCORE, note.score) : 0;
  return {
    ...note,
    findings,
    verdict,
    score,
    // The millimetres are a model's of a grand.
    couldHaveShown: { ...note.couldHaveShown, modelMillimetres: null },
    words: wordsAsMeasured(note.words),
  };
}

/** A judged document, all its notes so. */
export function documentAsMeasured<D extends { readonly notes: readonly Judged[] }>(document: D, kind: PianoKind): D {
  return kind === 'grand' ? document : { ...document, notes: document.notes.map((note) => noteAsMeasured(note, kind)) };
}

/** Of a round's summary, as far as it is looked at here. */
export interface Summed {
  readonly verdicts: readonly { readonly midi: number; readonly verdict: Verdict }[];
  readonly flagged: readonly (Words & { readonly midi: number; readonly findings: readonly string[] })[];
  readonly line: readonly { readonly wanders: boolean }[];
}

/** A round's summary as it may be shown: notes that only their rest had flagged are not flagged. */
export function summaryAsMeasured<S extends Summed>(summary: S, kind: PianoKind): S {
  if (kind === 'grand') return summary;
  const onlyRest = new Set(
    summary.flagged
      .filter(({ findings }) => findings.includes(REST) && findings.every((finding) => finding === REST))
      .map(({ midi }) => midi),
  );
  const others = new Map(summary.flagged.map(({ midi, findings }) => [midi, findings]));
  return {
    ...summary,
    verdicts: summary.verdicts.map((one) => {
      if (onlyRest.has(one.midi)) return { ...one, verdict: 'insufficient' };
      const found = others.get(one.midi);
      const kept = one.verdict !== 'unstable' || !found || found.some((finding) => DECIDING.includes(finding));
      return kept ? one : { ...one, verdict: 'watch' };
    }),
    flagged: summary.flagged
      .filter(({ midi }) => !onlyRest.has(midi))
      .map((one) => ({ ...one, ...wordsAsMeasured(one), findings: one.findings.filter((each) => each !== REST) })),
    line: summary.line.map((note) => ({ ...note, wanders: false })),
  };
}

/**
 * What the repeats and all else that was counted say. Which of rest and repeats had made a note unstable is not kept: where both
 * were found, it stays unstable where the repeats plainly fail more often than any hand's.
 */
function verdictWithoutRest({ verdict, findings: all, measures }: Judged, findings: readonly Found[]): Verdict {
  if (verdict === 'steady' || verdict === 'insufficient') return verdict;
  const rested = findings.length < all.length;
  if (findings.length === 0) {
    const failed = measures.some(
      ({ kind, value }) => ['silent-repeats', 'weak-repeats', 'failed-repeats'].includes(kind) && value > 0,
    );
    return !rested && failed ? verdict : 'insufficient';
  }
  if (verdict === 'watch' || !rested) return verdict;
  const plain = findings.some(
    ({ kind, unit, interval }) => DECIDING.includes(kind) && unit === 'share' && interval[0] > HAND_ALONE,
  );
  return plain ? 'unstable' : 'watch';
}

/** Sentences that judge the rest, or speak of parts of a grand's action. */
const OF_REST = /\b(rests?|starts? from|start from the same|another place)\b/i;
const OF_PARTS = /\b(let-off|lever|knuckle|at the hammer)\b/i;
/** What to play next; all else in that list is looked at. So that no look leaks in words that an older program kept. */
const TO_PLAY = /^(Play|Go on)\b/;
/** First lines that say two things at once: the half that stays. */
const HALVES: readonly (readonly [RegExp, string])[] = [
  [/^Repeats well\b.*\./, 'Repeats well.'],
  [/^Seems to rest evenly; its quick repeats were not tested\./, 'Its quick repeats were not tested.'],
  [/^Nothing wrong was heard, but\b.*\./, 'Nothing wrong was heard.'],
];
const NOTHING_SAID = 'Measured; nothing is said of how its hammer rests.';

/** The words without causes and without the rest. What to play next stays. */
export function wordsAsMeasured<W extends Words>(words: W): Pick<W, 'line'> & Omit<Words, 'line'> {
  return {
    line: lineAsMeasured(words.line),
    evidence: words.evidence.filter((sentence) => !OF_PARTS.test(sentence) && !/\bits rest\b/i.test(sentence)),
    next: words.next.filter((sentence) => TO_PLAY.test(sentence)),
    // Of the cautions only the one against playing on stands without a cause.
    cautions: words.cautions.filter((sentence) => sentence === CAUTIONS.stop.text),
    parts: [],
  };
}

function lineAsMeasured(line: string): string {
  const half = HALVES.find(([whole]) => whole.test(line));
  if (half) return half[1];
  const said = line.split(/(?<=\.) /).filter((sentence) => !OF_REST.test(sentence));
  // "Worth a second look." of nothing in particular.
  if (said.length === 0 || (said.length < line.split(/(?<=\.) /).length && /^(Worth|Not enough)/.test(said[0]))) {
    return NOTHING_SAID;
  }
  const [first, ...others] = said;
  return [first.replace(' also ', ' ').replace(' either.', '.'), ...others].join(' ');
}
