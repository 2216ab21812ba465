/**
 * The owner's page in words: what came out, what was done, what comes next, how far to trust it. No statistics, no trade words
 * without saying what they are; never certainty about a cause.
 */

import { keyName } from '../piano/keys.ts';
import type { Adjustment } from '../record/types.ts';
import { figure } from '../pictures/words.ts';
import { plainChange } from './measured.ts';
import { seasonSentence } from './seasons.ts';
import { changedUntold, isOpen, isWorked, type NoteStanding } from './standing.ts';
import { jammedNotes, waitingNotes, type ReportedVisit } from './visit.ts';
import { capital, countWords, listed, noteList, numberWord } from './words.ts';

/** The result and what is open, in two short sentences. */
export function headlineOf(notes: readonly NoteStanding[]): string {
  if (notes.length === 0) return 'Nothing was heard at this visit.';
  const worked = notes.filter(isWorked);
  const unstable = notes.filter(({ now }) => now.verdict === 'unstable');
  if (worked.length === 0) {
    const changed = notes.filter(changedUntold);
    const state = unstable.length === 0 ? 'No note heard is unstable.' : `${isAre(unstable.length)} unstable.`;
    return [changedWords(changed), state, changed.length > 0 ? '' : watchWords(notes)]
      .filter((words) => words !== '')
      .join(' ');
  }
  const heard = worked.filter(({ outcome }) => outcome !== 'not-heard');
  if (heard.length === 0)
    return `${capital(countWords(worked.length, 'note'))} worked on. ${worked.length === 1 ? 'It has' : 'They have'} not been heard again.`;
  return `${gainWords(heard)} ${openWords(notes, unstable)}`;
}

function gainWords(heard: readonly NoteStanding[]): string {
  const improved = heard.filter(({ outcome }) => outcome === 'improved').length;
  const worse = heard.filter(({ outcome }) => outcome === 'worse').length;
  if (improved === 0 && worse === 0)
    return `${capital(countWords(heard.length, 'note'))} worked on; no gain could be shown yet.`;
  const better = improved === 0 ? [] : [`${share(improved, heard.length)} improved.`];
  const bad =
    worse === 0 ? [] : [`${improved === 0 ? share(worse, heard.length) : capital(numberWord(worse))} became worse.`];
  return [...better, ...bad].join(' ');
}

/** "Two of five worked notes", "Both worked notes", "The worked note". */
function share(n: number, of: number): string {
  if (n === of)
    return of === 1 ? 'The worked note' : of === 2 ? 'Both worked notes' : `All ${numberWord(of)} worked notes`;
  return `${capital(numberWord(n))} of ${numberWord(of)} worked notes`;
}

function openWords(notes: readonly NoteStanding[], unstable: readonly NoteStanding[]): string {
  if (unstable.length > 0)
    return `${capital(numberWord(unstable.length))} ${unstable.length === 1 ? 'is' : 'are'} still unstable.`;
  const waiting = notes.filter(({ outcome }) => outcome === 'not-heard').length;
  if (waiting > 0) return `${capital(numberWord(waiting))} wait${waiting === 1 ? 's' : ''} to be heard again.`;
  return 'No note is unstable now.';
}

/** "Two notes improved, one became worse."; empty where nothing changed. */
function changedWords(changed: readonly NoteStanding[]): string {
  const better = changed.filter(({ outcome }) => outcome === 'improved').length;
  const worse = changed.length - better;
  const parts = [
    ...(better > 0 ? [`${countWords(better, 'note')} improved`] : []),
    ...(worse > 0 ? [`${better > 0 ? numberWord(worse) : countWords(worse, 'note')} became worse`] : []),
  ];
  return parts.length === 0 ? '' : `${capital(parts.join(', '))}.`;
}

function isAre(n: number): string {
  return `${capital(countWords(n, 'note'))} ${n === 1 ? 'is' : 'are'}`;
}

function watchWords(notes: readonly NoteStanding[]): string {
  const watch = notes.filter(({ now }) => now.verdict === 'watch').length;
  return watch === 0 ? '' : `${capital(numberWord(watch))} to watch.`;
}

/** Under the headline: which piano, how much was heard. */
export function leadOf({ piano, visit, invented }: ReportedVisit, notes: readonly NoteStanding[]): string {
  const kind = piano.kind === 'grand' ? 'Grand' : 'Upright';
  const name = [`${kind} ${piano.name}`, piano.place].filter(Boolean).join(', ');
  const keys = piano.highest - piano.lowest + 1;
  const heard = notes.length === keys ? `All ${keys} notes heard` : `${notes.length} of ${keys} notes heard`;
  const worked = notes.filter(isWorked);
  const again = worked.filter(({ outcome }) => outcome !== 'not-heard').length;
  const work =
    worked.length === 0
      ? notes.some(changedUntold)
        ? 'no work entered'
        : 'nothing worked on'
      : again === worked.length
        ? `${numberWord(again)} worked on and heard again`
        : `${numberWord(worked.length)} worked on, ${again === 0 ? 'none' : numberWord(again)} heard again`;
  const made = invented ? ' An example: invented and computed.' : '';
  const lacking = notes.filter(({ now }) => now.verdict === 'insufficient').length;
  const enough =
    piano.kind === 'grand' && lacking > 0
      ? ` Of ${lacking === 1 ? 'one' : numberWord(lacking)}, too little was heard for a verdict.`
      : '';
  return `${name}. ${heard}, ${work}.${enough}${made}${visit.endedAt === null ? ' The visit is not ended yet.' : ''}`;
}

/** So many are told one by one; the page must hold all else too. */
const MOST_TOLD = 4;

/** What was done: gains and losses a sentence each where they are few, all else together. */
export function doneSentences(notes: readonly NoteStanding[]): string[] {
  const worked = notes.filter(isWorked);
  if (worked.length === 0) {
    const changed = notes.filter(changedUntold);
    if (changed.length === 0) return ['Nothing was turned at this visit: the notes were heard and judged.'];
    const which = (outcome: NoteStanding['outcome']) => changed.filter((note) => note.outcome === outcome);
    return [
      ...named('Improved from the first round to the last', which('improved')),
      ...named('Worse', which('worse')),
      'What was turned in between was not entered.',
    ];
  }
  const of = (...outcomes: readonly NoteStanding['outcome'][]) =>
    worked.filter(({ outcome }) => outcomes.includes(outcome));
  const [better, worse] = [of('improved'), of('worse')];
  const capped = of('no-change-shown').filter((note) => note.capped.length > 0);
  const open = of('no-change-shown').filter((note) => note.capped.length === 0);
  const few = better.length + worse.length <= MOST_TOLD;
  const changed = listed([...new Set(capped.flatMap((note) => note.capped))]);
  const sentences = [
    ...(few ? [...better, ...worse].map(movedSentence) : [...named('Improved', better), ...named('Worse', worse)]),
    ...together(open, 'no gain is shown yet'),
    ...together(capped, `nothing is called changed, for ${changed} changed in between`),
    ...together(of('insufficient', null), 'too little was heard to say whether it helped'),
    ...together(of('not-heard'), 'it was not heard again yet'),
  ];
  return few ? sentences : [...sentences, 'What was turned on each stands on the technician\u2019s sheet.'];
}

function named(word: string, notes: readonly NoteStanding[]): string[] {
  return notes.length === 0
    ? []
    : [
        `${word}: ${noteList(
          notes.map(({ midi }) => midi),
          8,
        )}.`,
      ];
}

function movedSentence(standing: NoteStanding): string {
  const { midi, work, outcome } = standing;
  const change = plainChange(standing);
  const became = outcome === 'improved' ? 'improved' : 'it is worse than before';
  return `On ${keyName(midi)} ${listed([...new Set(work!.turned.map(plainTurn))])}: ${became}${change ? `; ${change}` : ''}.`;
}

/** Notes of one outcome, those with the same work together: "On C2 and D5 a spring ..., on B3 ...: no gain is shown yet." */
function together(notes: readonly NoteStanding[], outcome: string): string[] {
  if (notes.length === 0) return [];
  const byWork = new Map<string, number[]>();
  for (const { midi, work } of notes) {
    const done = listed([...new Set(work!.turned.map(plainTurn))]);
    byWork.set(done, [...(byWork.get(done) ?? []), midi]);
  }
  const parts = [...byWork].map(([done, midis]) => `on ${noteList(midis, 6)} ${done}`);
  const told =
    parts.length < MOST_TOLD
      ? parts.join('; ')
      : `there was work on ${noteList(
          notes.map(({ midi }) => midi),
          8,
        )}`;
  return [`${capital(told)}: ${outcome}.`];
}

const PLAIN: Readonly<Record<Exclude<Adjustment['what'], 'other'>, string>> = {
  lever: 'what the hammer waits on was set again',
  jack: 'the part that pushes the hammer (the jack) was set again',
  spring: 'a spring was set again',
  centre: 'a stiff joint was eased',
  line: 'the hammer was brought in line with its neighbours',
  'let-off': 'the point where the hammer is let go was set again',
  drop: 'how far the hammer falls back was set again',
  check: 'how the hammer is caught after a blow was set again',
  dip: 'how deep the key goes was set again',
};
const TURNS = [
  '',
  'an eighth',
  'a quarter',
  'three eighths',
  'half',
  'five eighths',
  'three quarters',
  'seven eighths',
  'a whole',
];

function plainTurn({ what, way, eighths, millimetres, words }: Adjustment): string {
  if (what === 'other')
    return words.trim() === '' ? 'something was adjusted' : `something was adjusted (${short(words)})`;
  const force = what === 'spring' ? (/\b(stronger|weaker)\b/.exec(way ?? words)?.[1] ?? null) : null;
  if (force !== null) return `a spring was made ${force}`;
  const much = eighths !== null && eighths > 0 && eighths < TURNS.length ? `, by ${TURNS[eighths]} of a turn` : '';
  const length = millimetres === null ? '' : `, by ${figure(millimetres, millimetres % 1 === 0 ? 0 : 1)} mm`;
  return `${PLAIN[what]}${much || length}`;
}

const LONGEST_TYPED = 70;

/** Typed words, cut where they would take the page's room; the technician's sheet has them in full. */
function short(words: string): string {
  const typed = words.trim();
  return typed.length <= LONGEST_TYPED ? typed : `${typed.slice(0, LONGEST_TYPED - 1)}\u2026`;
}

/** What comes next, a sentence each; never empty. */
export function nextSentences(reported: ReportedVisit, notes: readonly NoteStanding[]): string[] {
  const { piano, visit } = reported;
  const names = (which: readonly NoteStanding[]) =>
    noteList(
      which.map(({ midi }) => midi),
      6,
    );
  const open = notes.filter(isOpen);
  const sentences: string[] = [];
  const [jammed, waiting] = [jammedNotes(reported), waitingNotes(reported)];
  if (jammed.length > 0)
    sentences.push(`Jammed, as the player said: ${noteList(jammed, 6)}; not to be played until somebody has looked.`);
  if (waiting.length > 0)
    sentences.push(`Not counted yet, for nobody said whether it was adjusted: ${noteList(waiting, 6)}.`);
  const [unheard, unstable, watch] = [
    open.filter(({ outcome }) => outcome === 'not-heard'),
    open.filter(({ now, outcome }) => outcome !== 'not-heard' && now.verdict === 'unstable'),
    open.filter(({ now, outcome }) => outcome !== 'not-heard' && now.verdict === 'watch'),
  ];
  const lacking = notes.filter(({ now, outcome }) => now.verdict === 'insufficient' && outcome !== 'not-heard');
  if (unheard.length > 0) sentences.push(`To hear again after the work: ${names(unheard)}.`);
  if (unstable.length > 0) sentences.push(`To see to first: ${names(unstable)}.`);
  if (watch.length > 0) sentences.push(`To watch and hear again: ${names(watch)}.`);
  if (lacking.length > 0)
    sentences.push(
      `${piano.kind === 'grand' ? 'Too little was heard of' : 'No verdict on'} ${names(lacking)}: hear them again, or check them by hand.`,
    );
  if (sentences.length === 0) sentences.push('Nothing is left open.');
  if (visit.newParts.trim() !== '')
    sentences.push(
      `New parts have yet to settle (${short(visit.newParts)}): come back once they were played in, and hear those notes again.`,
    );
  const seasons = seasonSentence(reported);
  if (seasons !== null) sentences.push(seasons);
  const today = visit.humidityPercent === null ? '' : ` (${figure(visit.humidityPercent)} % at this visit)`;
  sentences.push(
    `Dry or damp air moves wood and felt: listen again when the room\u2019s humidity has changed by ten or more for some weeks${today}.`,
  );
  return sentences;
}

export const CANNOT_TELL =
  'Key dip, aftertouch, checking, drop and the alignment of the hammers: a technician sets these by hand and eye.';

/** How far to trust all this, a sentence each; never empty. */
export function trustSentences(reported: ReportedVisit, notes: readonly NoteStanding[]): string[] {
  const { piano, judged, compared, remarks } = reported;
  const sentences: string[] = [];
  const [first] = judged;
  const falsely = first?.document.expectedFalseUnstable ?? null;
  if (piano.kind === 'grand' && falsely !== null && falsely > 0) {
    const often =
      falsely >= 1
        ? `about ${figure(falsely, 1)} notes unstable`
        : `a note unstable about once in ${numberWord(Math.max(2, Math.round(1 / falsely)))} rounds`;
    sentences.push(`On a piano where every hammer is firm, a round like this would still call ${often}.`);
  }
  if (judged.some(({ document }) => document.hand.returns === 'let-up-more'))
    sentences.push(
      'Many notes missed repeats because the keys were let up too little: repeats call no note unstable there.',
    );
  if (compared.some(({ document }) => document.advice.some(({ code }) => code === 'other-hand')))
    sentences.push('The rounds were not played by one hand at one loudness, so nothing is called changed.');
  if (notes.some(({ outcome }) => outcome === 'no-change-shown'))
    sentences.push(
      '\u201cNot shown\u201d is not \u201cno gain\u201d: small changes need more strokes than were played.',
    );
  sentences.push(...remarks);
  sentences.push(
    piano.kind === 'grand'
      ? 'That sound tells how evenly a hammer waits is this program\u2019s own assumption; figures and sound are kept, to check it and for the next season.'
      : 'Only what failed, struck twice or was timed is told here; figures and sound are kept for the next season.',
  );
  return sentences;
}
