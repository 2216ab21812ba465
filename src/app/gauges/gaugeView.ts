/** From the gauge readings of a visit to what their screen and a note's card show. Formatting only. */

import { MEASURED, MEASURED_LENGTHS, type Measured } from '../../piano/measuredLengths.ts';
import { gaugePairs, type GaugePair } from '../../record/gauges.ts';
import type { GaugeReading, Piano } from '../../record/types.ts';
import type { MidiNote, Millimetres } from '../../units.ts';
import { lengthShown, type LengthUnit } from '../fields/readFields.ts';

export type When = GaugeReading['when'];

/** A reading that counts. */
export interface ShownReading {
  readonly id: string;
  readonly millimetres: Millimetres;
  /** "10.2 mm", "1 3/4 in". */
  readonly words: string;
  /** How often this was read; only the last one counts. */
  readonly times: number;
}

export interface GaugeRow {
  readonly kind: Measured;
  readonly title: string;
  readonly what: string;
  /** What the piano is set to; null where nobody said. */
  readonly target: string | null;
  readonly before: ShownReading | null;
  readonly after: ShownReading | null;
}

export interface GaugeView {
  readonly midi: MidiNote;
  readonly kind: Piano['kind'];
  /** All six, in the order of the bench. */
  readonly rows: readonly GaugeRow[];
  /** Of all notes of the visit, those that were read. */
  readonly all: readonly (GaugeRow & { readonly midi: MidiNote })[];
  /** The side that is asked for at first. */
  readonly first: When;
  /** Keys next to it; null at the ends of the piano. */
  readonly lower: MidiNote | null;
  readonly upper: MidiNote | null;
  readonly unit: LengthUnit;
  readonly readOnly: boolean;
}

interface Input {
  readonly midi: MidiNote;
  readonly piano: Piano;
  readonly readings: readonly GaugeReading[];
  /** The note was adjusted in this visit. */
  readonly adjusted: boolean;
  readonly unit: LengthUnit;
  readonly readOnly: boolean;
}

export function gaugeView({ midi, piano, readings, adjusted, unit, readOnly }: Input): GaugeView {
  const pairs = gaugePairs(readings);
  const row = (kind: Measured, pair: GaugePair | undefined): GaugeRow => ({
    kind,
    ...titleOf(kind),
    target: piano.targets[kind] === null ? null : lengthIn(piano.targets[kind], unit),
    before: shownOf(pair?.before, readings, unit),
    after: shownOf(pair?.after, readings, unit),
  });
  const inOrder = [...pairs].sort((a, b) => a.midi - b.midi || MEASURED.indexOf(a.kind) - MEASURED.indexOf(b.kind));
  return {
    midi,
    kind: piano.kind,
    rows: MEASURED.map((kind) =>
      row(
        kind,
        pairs.find((pair) => pair.midi === midi && pair.kind === kind),
      ),
    ),
    all: inOrder.map((pair) => ({ midi: pair.midi, ...row(pair.kind, pair) })),
    first: adjusted ? 'after' : 'before',
    lower: midi > piano.lowest ? midi - 1 : null,
    upper: midi < piano.highest ? midi + 1 : null,
    unit,
    readOnly,
  };
}

/** What was read of one note, for its own screen: "46 mm, then 45.5 mm". */
export function gaugeLines(
  midi: MidiNote,
  piano: Piano,
  readings: readonly GaugeReading[],
  unit: LengthUnit,
): readonly { readonly title: string; readonly words: string; readonly target: string | null }[] {
  const { rows } = gaugeView({ midi, piano, readings, adjusted: false, unit, readOnly: true });
  return rows.flatMap(({ title, before, after, target }) =>
    before || after ? [{ title, words: pairWords(before, after), target }] : [],
  );
}

/** "46 mm, then 45.5 mm"; one side alone says which. */
export function pairWords(before: ShownReading | null, after: ShownReading | null): string {
  if (before && after) return `${before.words}, then ${after.words}`;
  return before ? `${before.words} before` : `${after!.words} after`;
}

function titleOf(kind: Measured): { readonly title: string; readonly what: string } {
  const { title, what } = MEASURED_LENGTHS[kind];
  return { title, what };
}

function shownOf(
  reading: GaugeReading | null | undefined,
  readings: readonly GaugeReading[],
  unit: LengthUnit,
): ShownReading | null {
  if (!reading) return null;
  const { id, millimetres, midi, kind, when } = reading;
  const times = readings.filter(
    (one) => !one.undone && one.midi === midi && one.kind === kind && one.when === when,
  ).length;
  return { id, millimetres, words: lengthIn(millimetres, unit), times };
}

function lengthIn(length: Millimetres, unit: LengthUnit): string {
  return `${lengthShown(length, unit)} ${unit === 'mm' ? 'mm' : 'in'}`;
}
