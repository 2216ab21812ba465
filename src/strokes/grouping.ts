/**
 * Which coarse strokes belong to one note's take.
 *
 * In order of time, a stroke joins the latest group whose attack it resembles; what resembles none opens a group. Groups
 * are named by their tone; neighbours of one name are one take, unless the pause between them is longer than a take
 * bears. What has no tone of its own is no stroke: a knock, a release. What has one that no struck string has (evidence.ts)
 * is none either: a word, another instrument; so is a tone or two among many such.
 */

import { attackPiece, likeness, type AttackPiece } from '../signal/likeness.ts';
import type { Hint } from '../signal/attack.ts';
import type { StrokeEvent } from '../signal/detector.ts';
import type { Pyramid } from '../signal/pyramid.ts';
import { witnessAgrees } from '../signal/witness.ts';
import { median } from '../statistics/order.ts';
import { tunedFirstPartial } from '../piano/strings.ts';
import { centsBetween, type Cents, type Decibels, type MidiNote, type Seconds } from '../units.ts';
import {
  distanceFromString,
  holdsSeveralNotes,
  OTHER_FROM,
  soundKind,
  STRING_WITHIN,
  type GroupShape,
  type SoundKind,
} from './evidence.ts';
import { allKeys, nameTone, type Naming, type ToneWindow } from './naming.ts';
import { shapeOf, type ShapedEvent } from './shapes.ts';
import type { Doubt } from './types.ts';

/** One note's coarse strokes, in order of time. */
export interface Group {
  readonly hints: readonly Hint[];
  readonly naming: Naming;
  /** The name had a narrow lead, and an independent period detector disagrees. */
  readonly doubtful: boolean;
  /** What speaks against its being strokes of one string. */
  readonly unlike: readonly Doubt[];
}

/** Sounds that are taken for no strokes, in order of time. */
export interface OtherSound {
  readonly kind: SoundKind;
  readonly seconds: readonly Seconds[];
}

interface Gathering {
  readonly events: TimedEvent[];
  piece: AttackPiece;
  strongest: number;
  named: Naming | null;
  /** Distance of its tone from struck strings; `null` without a tone. */
  distance: number | null;
}

interface TimedEvent extends Hint, ShapedEvent {
  readonly strength: number;
}

const ALIKE = 0.5;
/** A group's attack is compared with a stroke for this long after its last. */
const REMEMBER: Seconds = 4;
/** But for no longer than this after quick strokes; the running interval is that of so many. */
const SHORT_MEMORY: Seconds = 1.6;
const RUNNING = 5;
/** A tone is a note's when its comb scores so much: less is asked of a group whose attacks already agree. */
const LEAST_SCORE = 0.6;
const LEAST_MARGIN = 0.03;
/** Bass combs have many teeth, and few that stand high: noise is seldom mistaken for one. */
const LEAST_SCORE_OF_BASS = 0.42;
const BASS_BELOW: MidiNote = 36;
const MANY = 4;
const LEAST_SCORE_OF_MANY = 0.48;
/** Events this far below the loudest of the last seconds are not strokes on their own. */
const FAINT = 34;
/** One or two sounds this far under the usual strokes are the room's, whatever tone they have. */
const STRAY_UNDER: Decibels = 14;
/** Strokes among another note's, fainter than those by this, are its company. */
const COMPANY_UNDER: Decibels = 5;
/** What is fainter by this does not end the tone of the stroke before. */
const TONE_UNDER: Decibels = 8;
/** With such a lead nobody else is asked for the name. */
const WIDE_LEAD = 0.12;
const LONGEST_WINDOW: Seconds = 0.34;
const SHORTEST_WINDOW: Seconds = 0.08;
/** Longest pause within a take, and the multiple of its own running interval that counts where that is longer. */
export const TAKE_PAUSE: Seconds = 2.5;
export const TAKE_PAUSE_INTERVALS = 2.5;
/** A group smaller than this is taken for what surrounds it, where that is twice as many; or as many, if it is unlike a string. */
const FEW = 5;
const SOME = 10;
const SURROUNDED: Seconds = 5;

/**
 * Groups the events of a recording by note. Where the room is `humming`, the hum's own tones stand in every tone: then
 * nothing that comes often is dropped for its tone, only doubted. `tuning` is the piano's own offset in cents, where known.
 */
export function groupEvents(
  pyramid: Pyramid,
  events: readonly StrokeEvent[],
  firstNote: MidiNote | null = null,
  humming = false,
): { groups: Group[]; others: OtherSound[]; tuning: Cents | null } {
  const rate = pyramid.full.rate;
  const end = pyramid.full.samples.length / rate;
  const timed = events.map((event, i): TimedEvent => ({
    seconds: event.frame / rate,
    until: (i + 1 < events.length ? events[i + 1].frame / rate : end) - event.frame / rate,
    rest: i > 0 ? (event.frame - events[i - 1].frame) / rate : 10,
    level: event.level,
    strength: event.strength,
    alone: (nextAsLoud(events, i)?.frame ?? pyramid.full.samples.length) / rate - event.frame / rate,
  }));
  const gatherings = gather(pyramid, dropFaint(timed));
  const tuning = nameAll(pyramid, gatherings, firstNote);
  return { ...merge(pyramid, gatherings, humming), tuning };
}

function nextAsLoud(events: readonly StrokeEvent[], i: number): StrokeEvent | undefined {
  const limit = events[i].level - TONE_UNDER;
  for (let k = i + 1; k < events.length; k++) if (events[k].level > limit) return events[k];
  return undefined;
}

function dropFaint(events: readonly TimedEvent[]): TimedEvent[] {
  return events.filter((event, i) => {
    let loudest = event.level;
    for (let j = i - 1; j >= 0 && event.seconds - events[j].seconds < 3; j--)
      loudest = Math.max(loudest, events[j].level);
    for (let j = i + 1; j < events.length && events[j].seconds - event.seconds < 3; j++) {
      loudest = Math.max(loudest, events[j].level);
    }
    return event.level > loudest - FAINT;
  });
}

function gather(pyramid: Pyramid, events: readonly TimedEvent[]): Gathering[] {
  const layer = pyramid.atLeast(10800);
  const gatherings: Gathering[] = [];
  for (const event of events) {
    const piece = attackPiece(layer, event.seconds);
    let home: Gathering | null = null;
    let best = ALIKE;
    for (let i = gatherings.length - 1; i >= Math.max(0, gatherings.length - 6); i--) {
      const other = gatherings[i];
      if (event.seconds - other.events[other.events.length - 1].seconds > memoryOf(other.events)) continue;
      const alike = likeness(other.piece, piece);
      if (alike > best) {
        best = alike;
        home = other;
      }
      if (alike > 0.8) break;
    }
    if (!home) {
      gatherings.push({ events: [event], piece, strongest: worth(event), named: null, distance: null });
      continue;
    }
    home.events.push(event);
    if (worth(event) > home.strongest) {
      home.strongest = worth(event);
      home.piece = piece;
    }
  }
  return gatherings.sort((a, b) => a.events[0].seconds - b.events[0].seconds);
}

/**
 * How long a gathering's attack is compared: by its own running interval, so that the next note after a fast passage is not
 * taken for the same because a neighbour's attack resembles it. What is one note all the same is joined by its name.
 */
function memoryOf(events: readonly TimedEvent[]): Seconds {
  const last = events.slice(-RUNNING - 1);
  if (last.length < 2) return REMEMBER;
  const running = median(last.slice(1).map(({ seconds }, i) => seconds - last[i].seconds));
  return Math.min(REMEMBER, Math.max(SHORT_MEMORY, TAKE_PAUSE_INTERVALS * running));
}

/** A clear stroke on silence is the best likeness of its note. */
function worth(event: TimedEvent): number {
  return event.level + Math.min(event.rest, 0.5) * 20 + Math.min(event.strength, 5);
}

/**
 * Names every gathering. Once the piano's tuning is known (from its first note, where that is told, else from the clear
 * ones) those that need it are named again, on a keyboard moved by as much.
 */
function nameAll(pyramid: Pyramid, gatherings: readonly Gathering[], firstNote: MidiNote | null): Cents | null {
  for (const gathering of gatherings) {
    const { events } = gathering;
    const named = nameTone(pyramid, windowsOf(events));
    gathering.named = named;
    if (named && isTone(named, events.length)) gathering.distance = distanceOf(shapeOf(pyramid, events, named), named);
  }
  const told = firstNote === null ? null : tuningFrom(gatherings, firstNote);
  const tuning = told ?? usualTuning(gatherings);
  if (tuning === null) return null;
  const keys = allKeys(tuning);
  for (const gathering of gatherings) {
    if (gathering.named && (told !== null || Math.abs(gathering.named.cents - tuning) > 30)) {
      gathering.named = nameTone(pyramid, windowsOf(gathering.events), keys);
    }
  }
  return tuning;
}

/** Cents by which the first note heard stands off its usual tuning, whatever key it seemed to be. */
function tuningFrom(gatherings: readonly Gathering[], firstNote: MidiNote): Cents | null {
  const first = gatherings.find(({ named, events }) => named && isTone(named, events.length));
  return first ? centsBetween(tunedFirstPartial(firstNote), first.named!.hertz) : null;
}

function usualTuning(gatherings: readonly Gathering[]): Cents | null {
  const clear = gatherings.filter(
    ({ named, events, distance }) =>
      named &&
      events.length >= 3 &&
      named.score > 0.9 &&
      named.midi >= 40 &&
      named.midi <= 88 &&
      distance! < STRING_WITHIN,
  );
  return clear.length ? median(clear.map(({ named }) => named!.cents)) : null;
}

/** Long alone, and loud: how well a stroke's tone can be looked at. */
function clarity({ alone, level }: TimedEvent): number {
  return Math.min(alone, 0.36) * 60 + level;
}

/** Up to three windows of tone, the longest first. */
function windowsOf(events: readonly TimedEvent[]): ToneWindow[] {
  return [...events]
    .sort((a, b) => clarity(b) - clarity(a))
    .slice(0, 3)
    .map((event) => ({ start: event.seconds + 0.012, duration: Math.min(LONGEST_WINDOW, event.alone - 0.02) }))
    .filter(({ duration }, i) => i === 0 || duration >= SHORTEST_WINDOW)
    .map(({ start, duration }) => ({ start, duration: Math.max(duration, SHORTEST_WINDOW) }));
}

interface Open {
  hints: TimedEvent[];
  naming: Naming;
  weight: number;
}

function merge(
  pyramid: Pyramid,
  gatherings: readonly Gathering[],
  humming: boolean,
): { groups: Group[]; others: OtherSound[] } {
  const others: OtherSound[] = [];
  const isFar = (distance: number, strokes: number): boolean => distance >= OTHER_FROM && !(humming && strokes >= FEW);
  const tones = gatherings.filter(({ events, named }) => {
    const tone = named !== null && isTone(named, events.length);
    if (!tone) others.push({ kind: 'knock', seconds: events.map(({ seconds }) => seconds) });
    return tone;
  });
  const far = tones.filter(
    (gathering) => isFar(gathering.distance!, gathering.events.length) && !hasNamesake(gathering, tones),
  );
  const open = mergeTones(tones.filter((gathering) => !far.includes(gathering)));
  for (const { events, named } of far) others.push(otherSound(events, shapeOf(pyramid, events, named!)));

  const judged = open
    .filter((group) => !open.some((other) => other !== group && isWithin(group, other)))
    .map((group) => ({ group, shape: shapeOf(pyramid, group.hints, group.naming) }))
    .filter(({ group, shape }) => {
      const isString = !isFar(distanceOf(shape, group.naming), group.hints.length);
      if (!isString) others.push(otherSound(group.hints, shape));
      return isString;
    });
  const kept = judged.filter(({ group, shape }) => {
    const lost = isSurrounded(group.hints, distanceOf(shape, group.naming) >= STRING_WITHIN, others);
    if (lost) others.push(otherSound(group.hints, shape));
    return !lost;
  });
  const groups = kept.map(({ group: { hints, naming }, shape }) => ({
    hints: relink(hints),
    naming,
    doubtful: isDoubtful(pyramid, hints, naming),
    unlike: [
      ...(distanceOf(shape, naming) >= STRING_WITHIN ? (['other-sound'] as const) : []),
      ...(holdsSeveralNotes(shape, naming.midi) ? (['several-notes'] as const) : []),
    ],
  }));
  return {
    groups: groups.sort((a, b) => a.hints[0].seconds - b.hints[0].seconds),
    others: others.sort((a, b) => a.seconds[0] - b.seconds[0]),
  };
}

function otherSound(events: readonly TimedEvent[], shape: GroupShape): OtherSound {
  return { kind: soundKind(shape), seconds: events.map(({ seconds }) => seconds) };
}

/** A take's faint or hurried strokes may look like nothing by themselves: its clear ones speak for them. */
function hasNamesake({ named, events }: Gathering, tones: readonly Gathering[]): boolean {
  return tones.some(
    (other) =>
      other.named!.midi === named!.midi &&
      other.distance! < STRING_WITHIN &&
      other.events.length >= events.length &&
      lastOf({ hints: other.events }) > events[0].seconds - REMEMBER &&
      other.events[0].seconds < lastOf({ hints: events }) + REMEMBER,
  );
}

/**
 * A few tones among twice as many sounds that are no strings', or some unlikely ones among as many: they are the same
 * speaker's, or player's.
 */
function isSurrounded(hints: readonly TimedEvent[], unlikely: boolean, others: readonly OtherSound[]): boolean {
  if (hints.length >= (unlikely ? SOME : FEW)) return false;
  const from = hints[0].seconds - SURROUNDED;
  const to = lastOf({ hints }) + SURROUNDED;
  const around = others
    .filter(({ kind }) => kind !== 'knock')
    .reduce((sum, { seconds }) => sum + seconds.filter((at) => at > from && at < to).length, 0);
  return around >= (unlikely ? 1 : 2) * hints.length;
}

function mergeTones(gatherings: readonly Gathering[]): Open[] {
  const open: Open[] = [];
  const large = gatherings.filter(({ events, named }) => events.length >= MANY && isTone(named!, MANY));
  const usual = large.length ? median(large.flatMap(({ events }) => events.map(({ level }) => level))) : -Infinity;
  for (const { events, named } of gatherings) {
    const naming = named!;
    if (events.length < MANY && median(events.map(({ level }) => level)) < usual - STRAY_UNDER) continue;
    const same = open.findLast((group) => group.naming.midi === naming.midi);
    const first = events[0].seconds;
    const interleaved =
      same &&
      open.some(
        (group) =>
          group !== same &&
          group.hints[0].seconds > lastOf(same) &&
          group.weight >= 2 &&
          group.hints[0].seconds < first,
      );
    if (same && !interleaved && first - lastOf(same) < REMEMBER) {
      same.hints.push(...events);
      same.hints.sort((a, b) => a.seconds - b.seconds);
      if (events.length > same.weight) {
        same.naming = naming;
        same.weight = events.length;
      }
    } else open.push({ hints: [...events], naming, weight: events.length });
  }
  return open;
}

/** True for the faint company of another note's strokes: its knocks and releases, resembling each other. */
function isWithin(group: { hints: readonly TimedEvent[] }, other: { hints: readonly TimedEvent[] }): boolean {
  if (other.hints.length < group.hints.length || lastOf(other) < group.hints[0].seconds) return false;
  if (other.hints[0].seconds > group.hints[0].seconds || lastOf(other) + REMEMBER < lastOf(group)) return false;
  const levelOf = ({ hints }: { hints: readonly TimedEvent[] }) => median(hints.map(({ level }) => level));
  return levelOf(group) < levelOf(other) - COMPANY_UNDER;
}

function isTone({ score, margin, midi }: Naming, strokes: number): boolean {
  if (strokes >= MANY) return score >= LEAST_SCORE_OF_MANY;
  return score >= (midi < BASS_BELOW ? LEAST_SCORE_OF_BASS : LEAST_SCORE) && margin >= LEAST_MARGIN;
}

/** Whether one stroke's tone is a note's, by itself. */
export function isSingleTone(naming: Naming): boolean {
  return isTone(naming, 1);
}

function isDoubtful(pyramid: Pyramid, hints: readonly TimedEvent[], { margin, midi, hertz }: Naming): boolean {
  if (margin >= WIDE_LEAD) return false;
  const [longest] = windowsOf(hints);
  return witnessAgrees(pyramid, longest.start, midi, hertz) === false;
}

function distanceOf(shape: GroupShape, { midi }: Naming): number {
  return distanceFromString(shape, midi);
}

function lastOf(group: { hints: readonly Hint[] }): Seconds {
  return group.hints[group.hints.length - 1].seconds;
}

/** Rests and gaps anew, within the group alone (what else sounded between does not end a stroke of this note). */
function relink(hints: readonly TimedEvent[]): Hint[] {
  return hints.map((hint, i) => ({
    seconds: hint.seconds,
    until: i + 1 < hints.length ? Math.min(hint.until, hints[i + 1].seconds - hint.seconds) : hint.until,
    rest: i > 0 ? Math.min(hint.rest, hint.seconds - hints[i - 1].seconds) : hint.rest,
    level: hint.level,
  }));
}
