/**
 * Gauge readings of a visit as they count: of each note, kind and side of the work the one that was read last. Earlier ones and
 * those taken back stay in the record.
 */

import type { MidiNote } from '../units.ts';
import { GAUGE_KINDS, type GaugeKind, type GaugeReading } from './types.ts';

/** Before and after of one kind on one note; null where nothing was read. */
export interface GaugePair {
  readonly midi: MidiNote;
  readonly kind: GaugeKind;
  readonly before: GaugeReading | null;
  readonly after: GaugeReading | null;
}

/** The readings that count, from bass to treble, the kinds of a note in the order of {@link GAUGE_KINDS}. */
export function gaugePairs(readings: readonly GaugeReading[]): GaugePair[] {
  const counted = readings.filter(({ undone }) => !undone);
  const midis = [...new Set(counted.map(({ midi }) => midi))].sort((a, b) => a - b);
  return midis.flatMap((midi) =>
    GAUGE_KINDS.flatMap((kind): GaugePair[] => {
      const last = (when: GaugeReading['when']) =>
        counted
          .filter((one) => one.midi === midi && one.kind === kind && one.when === when)
          .reduce<GaugeReading | null>((newest, one) => (newest && newest.at > one.at ? newest : one), null);
      const [before, after] = [last('before'), last('after')];
      return before || after ? [{ midi, kind, before, after }] : [];
    }),
  );
}
