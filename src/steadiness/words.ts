/**
 * A note in words of the trade: what the hand feels first, then what it rests on, what to look at, what to mind.
 *
 * The first line has no figures and no statistics. What sound only suggests is said to seem so, and no cause is ever named
 * as certain: what to look at comes from the trade and from a model study of one grand action, each with its grade.
 * Millimetres stand only where a model is named.
 */

import { CAUTIONS, cautionsFor } from '../piano/cautions.ts';
import { looksFor, sayLook, type Look } from '../piano/looks.ts';
import { companyOf, type Part } from '../piano/regulation.ts';
import { MAY_JAM, type Symptom } from '../piano/symptoms.ts';
import { evidenceWords } from './evidenceWords.ts';
import { feelingLine } from './feelings.ts';
import { counted } from './naturalWords.ts';
import { firmContrast, repeatCounts, type NoteFacts } from './noteFacts.ts';
import { marksOf, symptomsOf } from './symptoms.ts';

export type { NoteFacts } from './noteFacts.ts';

export interface NoteWords {
  /** A sentence or two without figures: how the note feels and what seems to be. */
  readonly line: string;
  /** What that rests on, with figures, one sentence each. */
  readonly evidence: readonly string[];
  /** What to look at, first things first. */
  readonly next: readonly string[];
  /** What to mind; never empty where something is advised. */
  readonly cautions: readonly string[];
  /** Parts of the action to look at, in the order of `next`, each once; the hand too. */
  readonly parts: readonly Part[];
}

/** Common practice, no source: more at once is not read. */
const MOST_LOOKS = 5;
const MOST_OF_HAND = 2;

/** The words of a note. */
export function noteWords(facts: NoteFacts): NoteWords {
  const { verdict } = facts;
  const shown = verdict === 'steady' ? [] : symptomsShown(facts);
  const looks = mostLooks(looksFor(shown, marksOf(facts)).looks);
  const next = [...looks.map(sayLook), ...(verdict === 'steady' ? [] : playSentences(facts, looks.length > 0))];
  const parts = [...new Set(looks.map(({ check }) => check.part))];
  return {
    line: feelingLine(facts),
    evidence: evidenceWords(facts),
    next,
    cautions: cautionsOf(shown, parts, next),
    parts,
  };
}

function symptomsShown(facts: NoteFacts): Symptom[] {
  const found = symptomsOf(facts);
  if (found.length > 0 || facts.verdict === 'insufficient') return found;
  if (firmContrast(facts.measures)) return ['wanders'];
  return repeatCounts(facts.measures).failed > 0 ? ['lone-miss'] : [];
}

/** The first of the looks, few of them the hand's. */
function mostLooks(looks: readonly Look[]): Look[] {
  const hand = looks.filter(({ check }) => check.part === 'hand');
  return [...hand.slice(0, MOST_OF_HAND), ...looks.filter((look) => !hand.includes(look))].slice(0, MOST_LOOKS);
}

/** What to play, where more strokes would tell; with nothing to look at, there is always something to do. */
const NOT_ALONE =
  'Play a dozen notes or more in one round, or give the hand as learned before: more strokes of this note alone would hardly settle it.';

function playSentences(facts: NoteFacts, checks: boolean): string[] {
  const { verdict, strokesNeeded, findings, reference, repeatsReference } = facts;
  if (findings.some(({ kind }) => kind === 'jammed')) return [];
  // Without a hand to hold it against, no number of strokes settles a note.
  if (reference === 'none' && repeatsReference === 'none' && (strokesNeeded !== null || !checks)) return [NOT_ALONE];
  const more = strokesNeeded === null ? [] : wanted(strokesNeeded);
  if (more.length > 0) return [`Play about ${more.join(' and ')}: that would probably settle it.`];
  if (checks) return [];
  return verdict === 'insufficient'
    ? ['Go on with the other notes, and come back to this one if the hand feels something.']
    : ['Play it again, slowly and then fast, and look whether the same shows.'];
}

function wanted({ slow, fast }: { readonly slow: number; readonly fast: number }): string[] {
  return [
    ...(slow > 0 ? [counted(slow, 'more slow stroke')] : []),
    ...(fast > 0 ? [counted(fast, 'more fast stroke')] : []),
  ];
}

function cautionsOf(symptoms: readonly Symptom[], parts: readonly Part[], next: readonly string[]): string[] {
  if (next.length === 0) return [];
  if (parts.length === 0) return [CAUTIONS.stop.text];
  const jams = symptoms.some((symptom) => MAY_JAM.includes(symptom));
  const said: string[] = cautionsFor(parts, jams).map(({ text }) => text);
  const turned = parts.find((part) => part !== 'hand');
  const company = turned === undefined ? null : companyOf(turned);
  return company === null ? said : [...said, company];
}
