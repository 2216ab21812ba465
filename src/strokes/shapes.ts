/**
 * What a group's tones show, from the strokes that have most time to themselves; a stroke is looked at once for one note.
 */

import type { Candidate } from '../signal/pitch.ts';
import type { Pyramid } from '../signal/pyramid.ts';
import { toneShape, type ToneShape } from '../signal/struck.ts';
import { inharmonicity } from '../piano/strings.ts';
import type { Decibels, MidiNote, Seconds } from '../units.ts';
import { distanceFromString, groupShape, type GroupShape } from './evidence.ts';
import type { Naming } from './naming.ts';

/** A stroke whose tone may be looked at. */
export interface ShapedEvent {
  readonly seconds: Seconds;
  readonly level: Decibels;
  /** Time until something nearly as loud follows: so long the tone may be listened to. */
  readonly alone: Seconds;
  /** What its tone showed as a tone of this note. */
  seen?: { readonly midi: MidiNote; readonly firstPartial: number; readonly shape: ToneShape };
}

/** Strokes of a group that are looked at closely. */
const SHAPES = 5;
/** So many are enough where they lie so near to a string's. */
const FIRST_SHAPES = 3;
const PLAINLY = 0.5;

/** What the tones of the strokes show that have most time to themselves. */
export function shapeOf(pyramid: Pyramid, events: readonly ShapedEvent[], { midi, hertz }: Naming): GroupShape {
  const candidate = { midi, firstPartial: hertz, inharmonicity: inharmonicity(midi) };
  // A tone of a second says more than a loud one of a third.
  const worthOf = ({ alone, level }: ShapedEvent): number => Math.min(alone, 0.9) * 60 + level;
  const clearest = [...events].sort((a, b) => worthOf(b) - worthOf(a)).slice(0, SHAPES);
  const shapes = clearest.slice(0, FIRST_SHAPES).map((event) => shapeOnce(pyramid, event, candidate));
  const first = groupShape(shapes)!;
  if (shapes.length === clearest.length || distanceFromString(first, midi) < PLAINLY) return first;
  shapes.push(...clearest.slice(FIRST_SHAPES).map((event) => shapeOnce(pyramid, event, candidate)));
  return groupShape(shapes)!;
}

/** A gathering's tones are asked about again as the group's that it becomes: what was seen of one is kept with it. */
function shapeOnce(pyramid: Pyramid, event: ShapedEvent, candidate: Candidate): ToneShape {
  const { midi, firstPartial } = candidate;
  if (event.seen?.midi === midi && event.seen.firstPartial === firstPartial) return event.seen.shape;
  const shape = toneShape(pyramid, event.seconds, event.alone, candidate);
  event.seen = { midi, firstPartial, shape };
  return shape;
}
