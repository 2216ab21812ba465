/** From the sitting to what the screen Listen shows. */

import type { EarState } from '../../capture/earState.ts';
import type { MicrophoneError } from '../../capture/microphone.ts';
import type { Verdict } from '../../analysis/document.ts';
import { sectionAt, sectionsOf } from '../../piano/sections.ts';
import { noteAsMeasured } from '../../piano/uprights.ts';
import { breaksOf } from './breaks.ts';
import type { Piano } from '../../record/types.ts';
import type { Decibels, MidiNote } from '../../units.ts';
import type { ListenView } from '../listen/view.ts';
import { spokenName } from '../words.ts';
import { lanesOf, passageNow, passagesSoFar } from './lanes.ts';
import { earNotice, sittingNotices } from './notices.ts';
import { orderOf, turnWords } from './orders.ts';
import type { Sitting } from './sitting.ts';

/** The level bar spans from here to full scale. */
const LOWEST_DB: Decibels = -90;
const STRAY_FOR_MS = 2000;
/** A room so far under the strokes is quiet. */
const QUIET_UNDER: Decibels = 40;
const FAIR_UNDER: Decibels = 30;

const PLAN_TITLES = {
  free: null,
  'one-note': 'one note',
  'hand-picked': 'picked notes',
  section: 'a section',
  compass: 'whole compass',
  sampled: 'sampled notes',
  'open-worklist': 'the worklist',
  'after-adjustment': 'after the work',
} as const;
const VERDICT_WORDS = { steady: 'steady', watch: 'to watch', unstable: 'unstable', insufficient: 'not enough yet' };

export interface EarFacts {
  readonly state: EarState;
  readonly error: MicrophoneError | null;
  readonly maySleep: boolean;
}

/** @param before what was shown last: announcements are made of what changes. */
export function listenView(sitting: Sitting, ear: EarFacts, now: Date, before: ListenView | null): ListenView {
  const { book, running, finished, piano } = sitting;
  const wanted = book.wanted;
  const midi = running?.midi ?? wanted?.midi ?? null;
  const asked = running?.asked ?? wanted?.asked ?? 'slow-fast';
  const earlier = midi === null ? [] : book.earlierStrokes(midi, asked);
  const own = running?.strokes ?? [];
  const soFar = passagesSoFar(asked, [...earlier.map(beforeAll), ...own]);
  const nowAt = passageNow(soFar);
  const last = finished ?? null;
  const lastName = book.last ? spokenName(book.last.midi) : null;
  const stops = earNotice(ear.state, ear.error, lastName);
  const notices = [...(stops ? [stops] : []), ...sittingNotices(sitting, now)];
  const progress = book.progress;
  return {
    round: book.round.number,
    plan: PLAN_TITLES[book.round.plan.kind],
    piano: [piano.name, piano.place].filter(Boolean).join(', '),
    room: roomOf(sitting),
    note: midi === null ? null : { midis: [midi], heard: running !== null, section: sectionOf(piano, midi) },
    asked,
    order: orderOf(soFar, nowAt),
    lanes: lanesOf(soFar, nowAt),
    contact: contactOf(sitting, now),
    ask: askOf(sitting),
    next: nextOf(sitting, midi),
    progress: progress && { ...progress, minutesLeft: Math.max(1, Math.round(progress.minutesLeft)) },
    strip: stripOf(sitting),
    breaks: breaksOf(piano),
    notices,
    state: stops ? 'stopped' : sitting.paused ? 'paused' : progress && !wanted && !running ? 'done' : 'listening',
    maySleep: ear.maySleep,
    announcement: announcementOf(sitting, soFar[nowAt]?.passage ?? null, last, before),
  };
}

/** Earlier takes of the pattern stand before the running one, wherever their times lay. */
function beforeAll<S extends { readonly seconds: number }>(stroke: S): S {
  return { ...stroke, seconds: stroke.seconds - 1e6 };
}

function roomOf({ levels }: Sitting): ListenView['room'] {
  const share = (db: Decibels | null) => (db === null ? null : Math.min(1, Math.max(0, (db - LOWEST_DB) / -LOWEST_DB)));
  const { roomDb, lastStrokeDb, clippedAt } = levels;
  const under = roomDb === null || lastStrokeDb === null ? null : lastStrokeDb - roomDb;
  const word =
    under === null ? 'Room' : under >= QUIET_UNDER ? 'Room quiet' : under >= FAIR_UNDER ? 'Room fair' : 'Room noisy';
  return { word, noise: share(roomDb), lastStroke: share(lastStrokeDb), clipped: clippedAt !== null };
}

function sectionOf(piano: Piano, midi: MidiNote): string | null {
  const { lowest, highest } = piano;
  if (midi < lowest || midi > highest) return null;
  return sectionAt(midi, sectionsOf(breaksOf(piano), { lowest, highest })).name;
}

function contactOf(sitting: Sitting, now: Date): ListenView['contact'] {
  const { running, finished, stray } = sitting;
  if (stray && now.getTime() - stray.at < STRAY_FOR_MS) return { kind: 'stray', midi: stray.midi };
  if (!running && finished)
    return { kind: 'finished', ...finished, verdict: finished.kept ? verdictOf(sitting, finished.midi) : null };
  const strokes = running?.strokes ?? [];
  const of = (kind: string) => strokes.filter((stroke) => stroke.kind === kind).length;
  const double = strokes.filter((stroke) => stroke.double).length;
  if (running?.asked === 'gentle')
    return { kind: 'spoke', spoke: of('sounded'), doubled: double, silent: of('silent') };
  const sounded = strokes.length - of('silent');
  const clear = strokes.filter((stroke) => stroke.clear).length;
  return { kind: 'counts', clear, of: sounded, silent: of('silent'), weak: of('weak'), double };
}

/** Once the take has ended: nobody is stopped in mid-playing. The next note that is played leaves it for the worklist. */
function askOf({ book, running, finished }: Pick<Sitting, 'book' | 'running' | 'finished'>): ListenView['ask'] {
  if (running || !finished?.kept) return null;
  return book.waiting.find(({ midi }) => midi === finished.midi) ?? null;
}

function nextOf({ book, running }: Sitting, shown: MidiNote | null): MidiNote[] | null {
  const wanted = book.wanted;
  if (!wanted) return null;
  // While another note than the wanted one is played, that one comes next.
  if (running && wanted.midi !== shown) return [wanted.midi];
  return book.after ? [book.after.midi] : null;
}

function stripOf(sitting: Sitting): ListenView['strip'] {
  const { book } = sitting;
  const planned = book.plan.steps.map(({ midi }) => midi);
  return [...new Set([...planned, ...book.heard])].map((midi) => ({ midi, verdict: verdictOf(sitting, midi) }));
}

/** As it may be said of this piano. */
function verdictOf({ book, piano }: Sitting, midi: MidiNote): Verdict | null {
  const note = book.notes.find((one) => one.midi === midi);
  return note ? noteAsMeasured(note, piano.kind).verdict : null;
}

function announcementOf(
  sitting: Sitting,
  passage: Parameters<typeof turnWords>[0] | null,
  finished: Sitting['finished'],
  before: ListenView | null,
): string {
  const { book, running, judging } = sitting;
  // A kept take is announced with its verdict.
  if (finished && !running && !(finished.kept && judging)) {
    const asked = askOf({ book, running, finished });
    if (asked) return `${spokenName(asked.midi)}. Adjusted since round ${asked.round}? Yes or no.`;
    const verdict = finished.kept ? verdictOf(sitting, finished.midi) : null;
    const next = book.wanted ? ` Next ${spokenName(book.wanted.midi)}.` : '';
    const result = finished.kept
      ? `${verdict ? ` ${VERDICT_WORDS[verdict]}` : ''}. Kept.`
      : ` left out: ${finished.words}.`;
    return `${spokenName(finished.midi)}${result}${next}`;
  }
  if (running && !before?.note?.heard) return `${spokenName(running.midi)}.`;
  const turned = before && passage && running && before.order.manner !== '' && before.note?.heard;
  if (turned && passage.kind !== laneNow(before)) return turnWords(passage);
  return before?.announcement ?? '';
}

function laneNow(view: ListenView): string | null {
  return view.lanes.find(({ slots }) => slots.some(({ state }) => state === 'now'))?.kind ?? null;
}
