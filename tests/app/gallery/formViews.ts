/** Forms by name: an invented piano, a visit of it, readings of a gauge. */

import { NO_FACTS, visitDraft, type VisitDraft, type VisitFacts } from '../../../src/app/visit/visitForm.ts';
import { pianoDraft, type PianoDraft } from '../../../src/app/piano/pianoForm.ts';
import { parseKeyName } from '../../../src/piano/keys.ts';
import { newGaugeReading, newPiano } from '../../../src/record/newThings.ts';
import type { GaugeReading, Piano } from '../../../src/record/types.ts';

export const PIANO: Piano = newPiano({
  ...{
    id: 'p1',
    name: 'Aldervane 274',
    place: 'Quillwater Hall',
    lengthCm: 274,
    breaks: [47, 71, 91],
    highestDamper: 89,
  },
  targets: { dip: 10.2, blow: 46, 'let-off': 1.5, drop: 1.5, aftertouch: null, check: 15 },
});
const DRAFT = pianoDraft(PIANO, 'mm');

interface PianoForm {
  readonly piano: Piano;
  readonly draft: PianoDraft;
  readonly unit: 'mm' | 'inch';
  readonly readOnly: boolean;
}
const form = (change: Partial<PianoDraft> = {}, more: Partial<PianoForm> = {}): PianoForm => ({
  ...{ piano: PIANO, unit: 'mm', readOnly: false, ...more },
  draft: { ...(more.draft ?? DRAFT), ...change },
});

/** A piano's form, by name. */
export const PIANO_FORMS: Readonly<Record<string, PianoForm>> = {
  whole: form(),
  new: form({}, { draft: pianoDraft(newPiano({ id: 'p2', name: 'Teaching room 2' }), 'mm') }),
  faults: form({ breaks: 'E2, H3', dip: 'deep', blow: '55', compass: 'other', highest: 'C1', highestDamper: 'F6' }),
  inches: form({}, { draft: pianoDraft(PIANO, 'inch'), unit: 'inch' }),
  upright: form({ kind: 'upright', lengthCm: '122' }),
  'read-only': form({}, { readOnly: true }),
};

const FACTS: VisitFacts = {
  ...NO_FACTS,
  ...{
    temperatureC: 21,
    humidityPercent: 46,
    lid: 'open',
    player: 'the technician',
    notes: 'Stage doors open until noon.',
  },
  ...{ microphonePlace: 'on a cloth, left of the keys', newParts: 'hammers of the top section' },
  readiness: [
    { item: 'screws', state: 'put-right' },
    { item: 'keys-easy', state: 'in-order' },
    { item: 'key-frame', state: 'open' },
  ],
};

interface VisitForm {
  readonly facts: VisitFacts;
  readonly draft: VisitDraft;
  readonly beforeFirst: boolean;
  readonly begunOtherwise: number | null;
  readonly readOnly: boolean;
}
const visit = (facts: VisitFacts, change: Partial<VisitDraft> = {}, more: Partial<VisitForm> = {}): VisitForm => ({
  ...{ facts, beforeFirst: true, begunOtherwise: null, readOnly: false },
  draft: { ...visitDraft(facts), ...change },
  ...more,
});

/** A visit's form, by name. */
export const VISIT_FORMS: Readonly<Record<string, VisitForm>> = {
  whole: visit(FACTS),
  empty: visit(NO_FACTS),
  faults: visit(FACTS, { temperature: 'warm', humidity: '12' }),
  later: visit(FACTS, {}, { beforeFirst: false, begunOtherwise: 2 }),
  'read-only': visit(FACTS, {}, { readOnly: true, beforeFirst: false }),
};

const midi = parseKeyName;
const reading = (
  name: string,
  kind: GaugeReading['kind'],
  when: GaugeReading['when'],
  millimetres: number,
  at = '10:40',
) =>
  newGaugeReading({
    ...{ id: `${name} ${kind} ${when} ${at}`, visitId: 'v', midi: midi(name), kind, when, millimetres },
    at: `2026-05-18T${at}:00.000Z`,
  });

/** Readings of a visit. */
export const READINGS: readonly GaugeReading[] = [
  reading('A#5', 'let-off', 'before', 0.6),
  reading('A#5', 'let-off', 'before', 0.8, '10:45'),
  reading('A#5', 'let-off', 'after', 1.6, '14:40'),
  reading('A#5', 'drop', 'before', 0.5),
  reading('D#3', 'blow', 'before', 44.45),
  reading('D#3', 'blow', 'after', 45.5, '14:20'),
];

interface GaugeForm {
  readonly midi: number;
  readonly readings: readonly GaugeReading[];
  readonly adjusted: boolean;
  readonly unit: 'mm' | 'inch';
  readonly readOnly: boolean;
}
const gauges: GaugeForm = { midi: midi('A#5'), readings: READINGS, adjusted: false, unit: 'mm', readOnly: false };

/** Gauge readings, by name. */
export const GAUGE_FORMS: Readonly<Record<string, GaugeForm>> = {
  before: gauges,
  after: { ...gauges, adjusted: true },
  inches: { ...gauges, midi: midi('D#3'), unit: 'inch' },
  nothing: { ...gauges, midi: 21, readings: [] },
  'read-only': { ...gauges, readOnly: true },
};
