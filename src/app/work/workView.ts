/** From the record of a visit to its worklist. Formatting only. */

import type { FindingKind } from '../../analysis/document.ts';
import { cautionsAt } from '../../piano/cautions.ts';
import {
  disturbedWords,
  groupedByOperation,
  operationFor,
  OPERATION_TITLES,
  setBeforeWords,
  type Operation,
} from '../../piano/operations.ts';
import { SECTION_LOOKS, sayLook } from '../../piano/looks.ts';
import { sectionLine, UNCHOSEN } from '../../piano/troubledSections.ts';
import { UPRIGHT_WHY } from '../../piano/uprights.ts';
import { minutes } from '../../piano/notePlans.ts';
import type { NotePlan } from '../../piano/plan.ts';
import { lastVerdicts } from '../../record/rounds.ts';
import type { Piano, Round, WorkTime } from '../../record/types.ts';
import type { WorkNote } from '../../record/worklist.ts';
import type { MidiNote } from '../../units.ts';
import type { ChangeWord } from '../compass/changes.ts';
import { troubledOn } from '../sitting/breaks.ts';
import { counted } from '../words.ts';
import { FINDING_TITLES } from '../../pictures/findingTitles.ts';
import type { WorkGroup, WorkRow, WorkView } from './view.ts';

export interface WorkInput {
  readonly piano: Piano;
  readonly rounds: readonly Round[];
  readonly notes: readonly WorkNote[];
  readonly hours: readonly WorkTime[];
  readonly changes: ReadonlyMap<MidiNote, ChangeWord>;
  readonly asked: WorkView['asked'];
  readonly withoutFresh: readonly MidiNote[];
  /** The plan that hears again what was adjusted; null where nothing was. */
  readonly planAfter: NotePlan | null;
  readonly readOnly: boolean;
  /** Now: UTC, ISO 8601. */
  readonly now: string;
}

/** The worklist as it stands. */
export function workView({
  piano,
  rounds,
  notes,
  hours,
  changes,
  asked,
  withoutFresh,
  planAfter,
  readOnly,
  now,
}: WorkInput): WorkView {
  const upright = piano.kind === 'upright';
  const placed = upright
    ? []
    : notes.map((note) => ({ midi: note.midi, operation: operationFor(note.flagged?.next ?? []), note }));
  const sections = troubledOn(piano, unchosenVerdicts(rounds)).map((troubled) => ({
    line: sectionLine(troubled),
    looks: SECTION_LOOKS.map((check) => sayLook({ check, reason: null })),
  }));
  const groups = groupedByOperation(placed, piano.order).map(({ operation, notes: own }): WorkGroup => {
    const [working, closed] = [false, true].map((isClosed) => own.filter(({ note }) => isSettled(note) === isClosed));
    return {
      operation,
      title: OPERATION_TITLES[operation],
      sections: operation === 'looks' ? sections : [],
      before: setBeforeWords(operation, piano.order),
      // What is settled stands at the end of its group.
      rows: [...working, ...closed].map(({ note }) => rowOf(note, rounds, changes)),
      disturbed: working.flatMap(({ note }) => disturbedBy(note)),
      ...timeOf(operation, hours, now),
    };
  });
  const state = (which: WorkNote['state']) => notes.filter((note) => note.state === which).length;
  return {
    piano: [piano.name, piano.place].filter(Boolean).join(', '),
    order: piano.order,
    counts: { open: state('open'), toHear: state('adjusted'), heardAgain: state('heard-again') },
    groups: groups.filter(isShown),
    empty: groups.filter((group) => !isShown(group)).map(({ title }) => title),
    heard: new Set(rounds.flatMap(({ summary }) => summary?.verdicts.map(({ midi }) => midi) ?? [])).size,
    uprightWords: upright ? UPRIGHT_WHY : null,
    cautions: cautionsAt('worklist').map(({ text }) => text),
    asked,
    hearing: planAfter && hearingWords(state('adjusted'), planAfter),
    withoutFresh: upright ? [] : withoutFresh,
    readOnly,
  };
}

/** Seating the parts first: common practice, no source. */
function hearingWords(turned: number, plan: NotePlan): string {
  const others = counted(plan.steps.length - turned, 'other');
  const long = counted(Math.max(1, Math.round(minutes(plan))), 'minute');
  return `Seat each turned note with a few firm blows first. It is heard beside ${others}: neighbours, and notes that nobody touched. About ${long}.`;
}

function isShown({ rows, sections, running }: WorkGroup): boolean {
  return rows.length > 0 || sections.length > 0 || running;
}

/** Every note that some round heard unchosen, with its verdict as it was last heard. */
function unchosenVerdicts(rounds: readonly Round[]) {
  const unchosen = rounds.filter(({ plan }) => UNCHOSEN.includes(plan.kind));
  const heard = new Set(unchosen.flatMap(({ summary }) => summary?.verdicts.map(({ midi }) => midi) ?? []));
  return lastVerdicts(rounds).filter(({ midi }) => heard.has(midi));
}

function isSettled({ state }: WorkNote): boolean {
  return state === 'done' || state === 'left-as-is';
}

function rowOf(note: WorkNote, rounds: readonly Round[], changes: WorkInput['changes']): WorkRow {
  const { midi, state, flagged, turned } = note;
  return {
    midi,
    state,
    verdict: lastVerdicts(rounds).find((heard) => heard.midi === midi)?.verdict ?? null,
    title: titleOf(flagged?.findings ?? []),
    evidence: flagged?.evidence[0] ?? null,
    turned: turned.flatMap(({ words }) => words || []).join('; ') || null,
    change: note.heardAgainIn === null ? null : (changes.get(midi) ?? null),
    lastTurn: turned.at(-1)?.id ?? null,
  };
}

/** "Missed and weak repeats"; kinds that this program does not know are left out. */
function titleOf(kinds: readonly string[]): string {
  const known = kinds.filter((kind): kind is FindingKind => kind in FINDING_TITLES);
  if (known.includes('missed-repeats') && known.includes('weak-repeats')) return 'Missed and weak repeats';
  return known.length === 0 ? 'To look at' : FINDING_TITLES[known[0]];
}

function disturbedBy({ midi, turned }: WorkNote): string[] {
  const last = turned.at(-1);
  const words = last && disturbedWords(last.what, midi);
  return words ? [words] : [];
}

const MINUTE_MS = 60_000;
const HOUR = 60;

function timeOf(operation: Operation, hours: readonly WorkTime[], now: string): Pick<WorkGroup, 'time' | 'running'> {
  const own = hours.filter((stretch) => stretch.operation === operation);
  const running = own.some(({ endedAt }) => endedAt === null);
  const minutes = Math.round(
    own.reduce((sum, { startedAt, endedAt }) => sum + Date.parse(endedAt ?? now) - Date.parse(startedAt), 0) /
      MINUTE_MS,
  );
  if (minutes === 0) return { time: running ? 'just begun' : null, running };
  const [whole, rest] = [Math.floor(minutes / HOUR), minutes % HOUR];
  const words = [...(whole > 0 ? [counted(whole, 'hour')] : []), ...(rest > 0 ? [counted(rest, 'minute')] : [])];
  return { time: words.join(' '), running };
}
