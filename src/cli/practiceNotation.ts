/**
 * The plain notation of practice notes and faults: "A4,D#3", "missed-repeats=0.3", "D#3:missed-repeats=0.3".
 */

import { InvalidArgumentError } from 'commander';
import { parseKeyName } from '../piano/keys.ts';
import { FAULTS, type FaultEntry, type FaultName } from '../synthesis/faults.ts';
import type { FaultPlan } from '../synthesis/plan.ts';
import type { MidiNote } from '../units.ts';
import { tableLines } from './table.ts';

/** A fault as asked for; `midi` null means every note. */
export interface AskedFault {
  readonly midi: MidiNote | null;
  readonly fault: FaultPlan;
}

const ENTRIES = Object.entries<FaultEntry>(FAULTS);

/**
 * Notes in playing order, parted by commas.
 * @throws InvalidArgumentError for a name that is no piano key's.
 */
export function parseNotes(text: string): MidiNote[] {
  return text.split(',').map(keyNamed);
}

/**
 * One more fault to those before.
 * @throws InvalidArgumentError if the notation, the name or the size does not fit.
 */
export function parseFault(text: string, before: readonly AskedFault[] = []): AskedFault[] {
  const match = /^(?:([^:=]+):)?([^:=]+)=([^:=]+)$/.exec(text.trim());
  if (!match) throw new InvalidArgumentError('Expected NAME=SIZE or NOTE:NAME=SIZE, such as missed-repeats=0.3.');
  const [, note, name, written] = match;
  const entry = ENTRIES.find(([known]) => known === name)?.[1];
  if (!entry) {
    throw new InvalidArgumentError(`"${name}" is no known fault. Expected one of ${Object.keys(FAULTS).join(', ')}.`);
  }
  const size = Number(written);
  if (!(size >= entry.least && size <= entry.most)) {
    throw new InvalidArgumentError(`Expected a size from ${entry.least} to ${entry.most} (${entry.unit}).`);
  }
  const midi = note === undefined ? null : keyNamed(note);
  return [...before, { midi, fault: { name: name as FaultName, size } }];
}

/** All faults with their sizes, as text. */
export function faultTable(): string {
  const lines = tableLines<(typeof ENTRIES)[number]>(
    [
      { title: 'Fault', side: 'left', cell: ([name]) => name },
      { title: 'Sizes', side: 'left', cell: ([, { least, most }]) => `${least} to ${most}` },
      { title: 'Usual', side: 'left', cell: ([, { usual }]) => usual.join(', ') },
      { title: 'Unit', side: 'left', cell: ([, { unit }]) => unit },
      { title: 'What it does', side: 'left', cell: ([, { does }]) => does },
    ],
    ENTRIES,
  );
  return `${lines.join('\n')}\n`;
}

function keyNamed(name: string): MidiNote {
  try {
    return parseKeyName(name);
  } catch (error) {
    if (error instanceof RangeError) throw new InvalidArgumentError(`${error.message}.`);
    throw error;
  }
}
