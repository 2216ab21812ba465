/**
 * The form of a visit: what its fields show, and the visit that they make. As with the form of a piano, a field that cannot be read
 * leaves the visit what it had.
 */

import { READINESS_ITEMS, type ReadinessItem } from '../../piano/readiness.ts';
import type { Visit } from '../../record/types.ts';
import { readNumber, readTemperature } from '../fields/readFields.ts';
import type { Said } from '../piano/pianoForm.ts';

export type ReadinessState = Visit['readiness'][number]['state'];
export const READINESS_STATES = ['in-order', 'put-right', 'open'] as const satisfies readonly ReadinessState[];
export const LIDS = ['closed', 'half', 'open', 'off'] as const;

export interface VisitDraft {
  readonly temperature: string;
  readonly humidity: string;
  readonly lid: Visit['lid'];
  readonly microphone: string;
  readonly microphonePlace: string;
  readonly player: string;
  readonly notes: string;
  readonly newParts: string;
  /** What was looked at; an item that is not there was not. */
  readonly readiness: Readonly<Partial<Record<ReadinessItem, ReadinessState>>>;
}
export type VisitField = keyof VisitDraft;

/** What a visit says of itself, as far as its form has it. */
export type VisitFacts = Pick<
  Visit,
  | 'temperatureC'
  | 'humidityPercent'
  | 'lid'
  | 'microphone'
  | 'microphonePlace'
  | 'player'
  | 'notes'
  | 'newParts'
  | 'readiness'
>;

/** Of a visit of which nothing is said yet. */
export const NO_FACTS: VisitFacts = {
  ...{ temperatureC: null, humidityPercent: null, lid: null, microphone: null, microphonePlace: null, player: null },
  ...{ notes: '', newParts: '', readiness: [] },
};

export interface VisitRead<V extends VisitFacts> {
  readonly visit: V;
  readonly faults: Said<VisitField>;
  readonly unusual: Said<VisitField>;
}

const shown = (number: number | null) => (number === null ? '' : String(number));

/** The fields of a visit as it is kept. */
export function visitDraft(visit: VisitFacts): VisitDraft {
  return {
    temperature: shown(visit.temperatureC),
    humidity: shown(visit.humidityPercent),
    lid: visit.lid,
    microphone: visit.microphone ?? '',
    microphonePlace: visit.microphonePlace ?? '',
    player: visit.player ?? '',
    notes: visit.notes,
    newParts: visit.newParts,
    readiness: Object.fromEntries(visit.readiness.map(({ item, state }) => [item, state])),
  };
}

/** Beyond lies no room that a piano is worked on in; what is usual: common practice, no source. */
const TEMPERATURE = { least: -30, most: 60, low: 10, high: 32 } as const;
const HUMIDITY = { low: 25, high: 75 } as const;

/** The visit that the fields make; `kept` is what it was. */
export function readVisit<V extends VisitFacts>(draft: VisitDraft, kept: V): VisitRead<V> {
  const faults: Partial<Record<VisitField, string>> = {};
  const unusual: Partial<Record<VisitField, string>> = {};
  const warm = readTemperature(draft.temperature, TEMPERATURE.least, TEMPERATURE.most);
  const humid = readNumber(draft.humidity, 'a relative humidity in per cent', 0, 100);
  if (warm.fault !== null) faults.temperature = warm.fault;
  if (humid.fault !== null) faults.humidity = humid.fault;
  const told = 'Unusual for a room with a piano. It is kept all the same.';
  if (warm.value !== null && (warm.value < TEMPERATURE.low || warm.value > TEMPERATURE.high))
    unusual.temperature = told;
  if (humid.value !== null && (humid.value < HUMIDITY.low || humid.value > HUMIDITY.high)) unusual.humidity = told;
  const words = (text: string) => text.trim() || null;
  return {
    visit: {
      ...kept,
      temperatureC: warm.fault === null ? warm.value : kept.temperatureC,
      humidityPercent: humid.fault === null ? humid.value : kept.humidityPercent,
      lid: draft.lid,
      microphone: words(draft.microphone),
      microphonePlace: words(draft.microphonePlace),
      player: words(draft.player),
      notes: draft.notes.trim(),
      newParts: draft.newParts.trim(),
      readiness: readinessOf(draft, kept),
    },
    faults,
    unusual,
  };
}

/** In the order of the list; items of a later program's list stay as they are. */
function readinessOf({ readiness }: VisitDraft, kept: VisitFacts): Visit['readiness'] {
  const known: readonly string[] = READINESS_ITEMS;
  return [
    ...READINESS_ITEMS.flatMap((item) => {
      const state = readiness[item];
      return state === undefined ? [] : [{ item, state }];
    }),
    ...kept.readiness.filter(({ item }) => !known.includes(item)),
  ];
}

/** "3 of 5 in order or put right, 1 open"; "not looked at yet". */
export function readinessWords({ readiness }: Pick<VisitDraft, 'readiness'>): string {
  const states = READINESS_ITEMS.map((item) => readiness[item]);
  const open = states.filter((state) => state === 'open').length;
  const well = states.filter((state) => state === 'in-order' || state === 'put-right').length;
  if (open + well === 0) return 'not looked at yet';
  return `${well} of ${states.length} in order or put right${open > 0 ? `, ${open} open` : ''}`;
}
