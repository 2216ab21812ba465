/** What a round comes to: which takes count, how many verdicts of each kind, whose sound goes when it is closed. */

import type { RoundSaid } from '../analysis/compare.ts';
import type { AnalysisDocument, Verdict } from '../analysis/document.ts';
import type { MidiNote } from '../units.ts';
import { VERDICT_LIST } from './heardSchema.ts';
import type { KeepAudio, LineNote, Round, Take, Visit } from './types.ts';

/** The takes of a round that count, in order of play: not undone, and not of a key that jams. */
export function takesThatCount(roundId: string, takes: readonly Take[]): Take[] {
  return takes
    .filter((take) => take.roundId === roundId && !take.undone && !take.jammed)
    .sort((a, b) => a.number - b.number);
}

/** How a round was played, as it says itself or its visit does. */
export function saidOf({ setting }: Round, visit: Visit): RoundSaid {
  const { microphone, microphonePlace, player, referenceId } = setting ?? visit;
  return { microphone, microphonePlace, player, hand: referenceId };
}

/** What is kept of a judged round; of the notes given, in the document's order. */
export function summaryOf(
  { analysisVersion, notes }: Pick<AnalysisDocument, 'analysisVersion' | 'notes'>,
  midis: readonly MidiNote[],
  line: readonly LineNote[],
): NonNullable<Round['summary']> {
  const own = notes.filter(({ midi }) => midis.includes(midi));
  return {
    analysisVersion,
    verdicts: own.map(({ midi, verdict }) => ({ midi, verdict })),
    flagged: own
      .filter(({ verdict }) => FLAGGED.includes(verdict))
      .map(({ midi, score, findings, words: { line, evidence, next, cautions, parts } }) => ({
        ...{ midi, score, line, evidence, next, cautions, parts },
        findings: findings.map(({ kind }) => kind),
      })),
    line: line
      .filter(({ midi }) => midis.includes(midi))
      .map(({ midi, repeats, gentle, offsets, failsAgain, wanders }) => ({
        ...{ midi, repeats, gentle, failsAgain, wanders },
        offsets: offsets.map((value) => Math.round(10 * value) / 10),
      })),
  };
}

/** Each note with its verdict as it was heard last, whichever round that was: a round may hear a few notes only. */
export function lastVerdicts(rounds: readonly Pick<Round, 'number' | 'summary'>[]): NoteVerdict[] {
  const inOrder = [...rounds].sort((a, b) => a.number - b.number);
  const last = new Map(inOrder.flatMap(({ summary }) => summary?.verdicts ?? []).map((note) => [note.midi, note]));
  return [...last.values()];
}
type NoteVerdict = NonNullable<Round['summary']>['verdicts'][number];

/** How many notes have each verdict. */
export function countsOf(verdicts: readonly { readonly verdict: Verdict }[]): Record<Verdict, number> {
  const counts = Object.fromEntries(VERDICT_LIST.map((verdict) => [verdict, 0])) as Record<Verdict, number>;
  for (const { verdict } of verdicts) counts[verdict]++;
  return counts;
}

/** Verdicts for which a note's sound is kept when only flagged notes' is. */
const FLAGGED: readonly Verdict[] = ['watch', 'unstable'];

/**
 * The ids of the takes whose sound goes, in the order given. Nothing goes while the round is open, and where flagged notes are to be
 * kept nothing goes before the round is judged. A key that jams is flagged; a note that a judged round gives no verdict is not.
 */
export function soundToDrop(round: Round, takes: readonly Take[], keepAudio: KeepAudio): string[] {
  if (round.closedAt === null || keepAudio === 'all') return [];
  const withSound = takes.filter((take) => take.roundId === round.id && take.pieces > 0);
  if (keepAudio === 'none') return withSound.map(({ id }) => id);
  if (round.summary === null) return [];
  const flagged = new Set<number>(
    round.summary.verdicts.filter(({ verdict }) => FLAGGED.includes(verdict)).map(({ midi }) => midi),
  );
  for (const { midi, jammed } of withSound) if (jammed) flagged.add(midi);
  return withSound.filter(({ midi }) => !flagged.has(midi)).map(({ id }) => id);
}
