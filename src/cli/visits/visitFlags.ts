/** What the commands that read a visit share: the choice of one, the list of all, and word of what takes time. */

import { dayWords } from '../../report/words.ts';
import type { Output } from '../output.ts';
import type { OpenedVisit } from './openVisits.ts';

export interface VisitFlags {
  readonly visit?: string;
  readonly list?: boolean;
}

/** One line a visit: number, day, piano, how much was heard, id. */
export async function writeVisits(output: Output, visits: readonly OpenedVisit[]): Promise<void> {
  for (const [i, { things }] of visits.entries()) {
    const { piano, visit, rounds, takes } = things;
    const day = dayWords(visit.startedAt, -new Date(visit.startedAt).getTimezoneOffset());
    const notes = new Set(takes.filter(({ undone }) => !undone).map(({ midi }) => midi)).size;
    const place = [piano.name, piano.place].filter(Boolean).join(', ');
    const much = `${rounds.length} ${rounds.length === 1 ? 'round' : 'rounds'}, ${notes} ${notes === 1 ? 'note' : 'notes'}`;
    await output.write(`${i + 1}  ${day}  ${place}  ${much}  ${visit.id}\n`);
  }
}

/** Tells on a terminal what is being done; says nothing to a pipe or a file. */
export function toldOnTerminal(): (what: string) => void {
  if (!process.stderr.isTTY) return () => {};
  return (what) => void process.stderr.write(`evenfall: ${what}\n`);
}
