/**
 * Samples in, takes and strokes out: the whole of hearing, for one recording.
 */

import { Pyramid } from '../signal/pyramid.ts';
import { roomNoise, type RoomNoise } from '../signal/roomNoise.ts';
import type { Cents, Hertz, MidiNote, Seconds } from '../units.ts';
import { withContacts } from './contacts.ts';
import { detectEvents } from './events.ts';
import { groupEvents, TAKE_PAUSE, TAKE_PAUSE_INTERVALS, type Group, type OtherSound } from './grouping.ts';
import { isPattern } from './pattern.ts';
import { refineTake, type HeardTake } from './takes.ts';
import type { Doubt } from './types.ts';
import { median } from '../statistics/order.ts';

export interface Heard {
  readonly takes: readonly HeardTake[];
  /** The piano's tuning against the usual, where enough notes were clear. */
  readonly tuning: Cents | null;
  readonly room: RoomNoise | null;
  /** What was heard besides and taken for no strokes, in order of time. */
  readonly others: readonly OtherSound[];
}

/**
 * Hears a mono recording. `firstNote` tells which key is played first: then the piano may stand at any pitch. `reached` is
 * told how far the takes have been heard.
 * @throws RangeError for a sample rate outside 8 to 96 kHz.
 */
export function hear(
  samples: Float32Array,
  sampleRate: Hertz,
  firstNote: MidiNote | null = null,
  reached?: (seconds: Seconds) => void,
): Heard {
  const events = detectEvents(samples, sampleRate);
  const pyramid = new Pyramid(samples, sampleRate);
  const room = roomNoise(pyramid);
  if (events.length === 0) return { takes: [], tuning: null, room, others: [] };
  const { groups, others, tuning } = groupEvents(pyramid, events, firstNote, room?.hum != null);
  const parts = groups.flatMap(splitAtPauses);
  parts.sort((a, b) => a.hints[0].seconds - b.hints[0].seconds);
  const end = samples.length / sampleRate;
  const takes: HeardTake[] = [];
  for (let i = 0; i < parts.length; i++) {
    const from = i > 0 ? startOf(parts[i]) : 0;
    const to = i + 1 < parts.length ? startOf(parts[i + 1]) : end;
    reached?.(from);
    const refined = refineTake(pyramid, parts[i], takes.length + 1, from, to);
    if (refined) takes.push(withReserve(refined, parts[i].unlike));
  }
  return { takes: withContacts(pyramid, takes), tuning, room, others };
}

/** Marks every stroke of what may be no take: its tone says so, or it has no pattern. */
function withReserve(heard: HeardTake, unlike: readonly Doubt[]): HeardTake {
  const doubts: Doubt[] = isPattern(heard.strokes) ? [...unlike] : [...unlike, 'not-a-take'];
  if (doubts.length === 0) return heard;
  return { ...heard, strokes: heard.strokes.map((stroke) => ({ ...stroke, doubt: [...stroke.doubt, ...doubts] })) };
}

/** Where the search for one take's strokes ends and the next one's begins: just before its first coarse stroke. */
function startOf(part: Group): Seconds {
  return part.hints[0].seconds - 0.03;
}

/** A pause longer than a take bears begins a new take of the same note. */
function splitAtPauses(group: Group): Group[] {
  const parts: Group[] = [];
  let start = 0;
  const { hints } = group;
  for (let i = 1; i <= hints.length; i++) {
    const gap = i < hints.length ? hints[i].seconds - hints[i - 1].seconds : Infinity;
    const recent = hints
      .slice(Math.max(start, i - 6), i)
      .map((h, k, all) => (k > 0 ? h.seconds - all[k - 1].seconds : 0));
    const running = recent.length > 1 ? median(recent.slice(1)) : 0;
    if (gap > Math.max(TAKE_PAUSE, TAKE_PAUSE_INTERVALS * running)) {
      parts.push({ ...group, hints: hints.slice(start, i) });
      start = i;
    }
  }
  return parts;
}
