/**
 * The worklist's operations: in which order they are worked through, what is to be right before each, and under which one a
 * note stands.
 *
 * No order is total: two are usual (blow first or dip first: pianotuningmatters, 2023-09), and springs are set roughly before
 * the drop and finely after the checks. That a note stands once, under the first thing to look at that is not the hand, is this
 * program's own choice: it is looked at there, and what the look shows decides the rest.
 */

import type { MidiNote } from '../units.ts';
import { keyName } from './keys.ts';
import { lookSaid } from './looks.ts';
import { ACTION, type Part } from './regulation.ts';

/** Closed list, kept in the record. */
export const OPERATIONS = [
  'looks',
  'key',
  'jack',
  'lever',
  'springs-rough',
  'blow',
  'let-off',
  'drop',
  'dip',
  'checks',
  'springs-fine',
] as const;
export type Operation = (typeof OPERATIONS)[number];

/** The two usual working orders. */
export type WorkOrder = 'blow-first' | 'dip-first';

export const OPERATION_TITLES: Readonly<Record<Operation, string>> = {
  looks: 'Looks',
  key: 'Key and friction',
  jack: 'Jack under knuckle',
  lever: 'Lever',
  'springs-rough': 'Springs (rough)',
  blow: 'Blow',
  'let-off': 'Let-off',
  drop: 'Drop',
  dip: 'Dip and aftertouch',
  checks: 'Checks',
  'springs-fine': 'Springs (fine)',
};

const OPERATION_OF: Readonly<Record<Exclude<Part, 'hand' | 'spring'>, Operation>> = {
  climate: 'looks',
  bedding: 'looks',
  rail: 'looks',
  screws: 'looks',
  cushion: 'looks',
  key: 'key',
  damper: 'key',
  centre: 'key',
  jack: 'jack',
  lever: 'lever',
  blow: 'blow',
  'let-off': 'let-off',
  drop: 'drop',
  dip: 'dip',
  aftertouch: 'dip',
  check: 'checks',
};

/** The operation in which a part is set; null for the hand. `fine`: a spring, once the checks are set. */
export function operationOf(part: Part, fine = false): Operation | null {
  if (part === 'hand') return null;
  if (part === 'spring') return fine ? 'springs-fine' : 'springs-rough';
  return OPERATION_OF[part];
}

/** The operations in working order. */
export function operationsIn(order: WorkOrder): readonly Operation[] {
  if (order === 'blow-first') return OPERATIONS;
  const others = OPERATIONS.filter((operation) => operation !== 'dip');
  const at = others.indexOf('blow');
  return [...others.slice(0, at), 'dip', ...others.slice(at)];
}

const SET_BEFORE: Readonly<Partial<Record<Operation, readonly Operation[]>>> = {
  jack: ['key'],
  lever: ['jack'],
  'springs-rough': ['jack', 'lever'],
  blow: ['lever', 'springs-rough'],
  'let-off': ['blow'],
  drop: ['let-off', 'springs-rough'],
  dip: ['let-off', 'drop'],
  checks: ['dip'],
  'springs-fine': ['checks'],
};
const DIP_FIRST: Readonly<Partial<Record<Operation, readonly Operation[]>>> = {
  dip: ['lever', 'springs-rough'],
  blow: ['dip'],
};

/** What is to be right before an operation; never one that comes after it in that order. */
export function setBefore(operation: Operation, order: WorkOrder): readonly Operation[] {
  return (order === 'dip-first' ? DIP_FIRST[operation] : undefined) ?? SET_BEFORE[operation] ?? [];
}

const SHORT: Readonly<Record<Operation, string>> = {
  looks: 'looks',
  key: 'friction',
  jack: 'jack',
  lever: 'lever',
  'springs-rough': 'springs',
  blow: 'blow',
  'let-off': 'let-off',
  drop: 'drop',
  dip: 'dip',
  checks: 'checks',
  'springs-fine': 'springs',
};

/** "set before: jack, lever"; null where nothing is. */
export function setBeforeWords(operation: Operation, order: WorkOrder): string | null {
  const before = setBefore(operation, order);
  return before.length === 0 ? null : `set before: ${before.map((one) => SHORT[one]).join(', ')}`;
}

/** The first thing to look at that is not the hand, of the sentences of a note's words; under "looks" where there is none. */
export function operationFor(next: readonly string[]): Operation {
  for (const sentence of next) {
    const check = lookSaid(sentence);
    const operation = check && operationOf(check.part, check.fine);
    if (operation) return operation;
  }
  return 'looks';
}

/** One operation with its notes. */
export interface OperationGroup<Note> {
  readonly operation: Operation;
  /** From bass to treble. */
  readonly notes: readonly Note[];
}

/** Notes by operation, all operations in working order; those with nothing too. */
export function groupedByOperation<Note extends { readonly midi: MidiNote; readonly operation: Operation }>(
  notes: readonly Note[],
  order: WorkOrder,
): OperationGroup<Note>[] {
  return operationsIn(order).map((operation) => ({
    operation,
    notes: notes.filter((note) => note.operation === operation).sort((a, b) => a.midi - b.midi),
  }));
}

/** What can be turned on one note. Closed list, kept in the record. */
export const TURNS = ['lever', 'jack', 'spring', 'centre', 'line', 'let-off', 'drop', 'check', 'dip', 'other'] as const;
export type Turned = (typeof TURNS)[number];

interface Turn {
  readonly title: string;
  /** As it stands in a sentence. */
  readonly name: string;
  readonly ways: readonly string[];
  /** How much is said in: eighths of a turn, millimetres, or not at all. */
  readonly unit: 'eighths' | 'millimetres' | null;
  readonly part: Part | null;
}

/** What can be turned, which way, and how that is measured (common practice, no source). */
export const TURN: Readonly<Record<Turned, Turn>> = {
  lever: { title: 'Lever', name: 'lever', ways: ['up', 'down'], unit: 'eighths', part: 'lever' },
  jack: { title: 'Jack', name: 'jack', ways: ['in', 'out', 'up', 'down'], unit: 'eighths', part: 'jack' },
  spring: { title: 'Spring', name: 'spring', ways: ['stronger', 'weaker'], unit: null, part: 'spring' },
  centre: {
    title: 'Centre eased',
    name: 'centre',
    ways: ['lever centre eased', 'hammer centre eased', 'wippen centre eased', 'jack centre eased'],
    unit: null,
    part: 'centre',
  },
  line: { title: 'Line', name: 'line', ways: ['up', 'down'], unit: 'millimetres', part: 'blow' },
  'let-off': { title: 'Let-off', name: 'let-off', ways: ['nearer', 'further'], unit: 'eighths', part: 'let-off' },
  drop: { title: 'Drop', name: 'drop', ways: ['more', 'less'], unit: 'eighths', part: 'drop' },
  check: { title: 'Check', name: 'check', ways: ['higher', 'lower', 'nearer', 'further'], unit: null, part: 'check' },
  dip: { title: 'Dip', name: 'dip', ways: ['deeper', 'shallower'], unit: 'millimetres', part: 'dip' },
  other: { title: 'Other', name: 'other', ways: [], unit: null, part: null },
};

const EIGHTHS = [
  '',
  'an eighth',
  'a quarter',
  'three eighths',
  'a half',
  'five eighths',
  'three quarters',
  'seven eighths',
];

/**
 * What was turned, in words: "lever down, an eighth", "lever centre eased", "line up 3 mm", "spring stronger".
 *
 * @param eighths - of a turn, a whole number from 1; read only where turns are counted so
 * @param length - as it is to be read, with its unit; read only where it is measured so
 */
export function turnWords(what: Turned, way: string | null, eighths: number | null, length: string | null): string {
  const { name, unit } = TURN[what];
  if (what === 'centre') return way ?? 'a centre eased';
  if (what === 'other') return way ?? 'something else';
  const moved = way === null ? name : `${name} ${way}`;
  if (unit === 'eighths' && eighths !== null) return `${moved}, ${turnsOf(eighths)}`;
  if (unit === 'millimetres' && length !== null) return `${moved} ${length}`;
  return way === null ? `${name} adjusted` : moved;
}

function turnsOf(eighths: number): string {
  const [whole, rest] = [Math.floor(eighths / 8), eighths % 8];
  const turns = whole === 0 ? [] : [whole === 1 ? 'a turn' : `${whole} turns`];
  return [...turns, ...(rest === 0 ? [] : [EIGHTHS[rest]])].join(' and ');
}

/** "You moved the lever on B3. Look again at its hammer line, spring and drop."; null where nothing is disturbed. */
export function disturbedWords(what: Turned, midi: MidiNote): string | null {
  const { part, name } = TURN[what];
  if (part === null) return null;
  const again = ACTION[part].disturbs.map((one) => ACTION[one].short);
  if (again.length === 0) return null;
  const listed = again.length === 1 ? again[0] : `${again.slice(0, -1).join(', ')} and ${again[again.length - 1]}`;
  return `You ${what === 'centre' ? 'eased' : 'moved'} the ${name} on ${keyName(midi)}. Look again at its ${listed}.`;
}
