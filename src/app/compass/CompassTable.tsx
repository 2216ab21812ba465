/** The compass in numbers. Note and verdict stay at the left while the rest scrolls within. */

import { useDeferredValue } from 'react';
import { VerdictMark } from '../glyphs.tsx';
import { NoteName } from '../NoteName.tsx';
import type { MidiNote } from '../../units.ts';
import type { CompassEntry } from './view.ts';

const COLUMNS = [
  ['silent', 'did not speak'],
  ['weak', 'weak'],
  ['double', 'double'],
  ['of', 'of, fast half-way'],
  ['gentle', 'gentle: silent \u00b7 double'],
  ['off', 'off the neighbours, in 100'],
  ['travel', 'travel time, ms'],
  ['trend', 'neighbours\u2019 trend, ms'],
  ['rest', 'rest, times a firm note\u2019s'],
  ['clear', 'clear slow'],
] as const;

interface Props {
  caption: string;
  rows: readonly CompassEntry[];
  selected: MidiNote;
  onOpen: (midi: MidiNote) => void;
}

/** So many rows are more than a window shows. */
const FIRST_ROWS = 20;

export function CompassTable({ caption, rows: all, selected, onOpen }: Props) {
  // All 88 in one go would hold the page: those in sight come first.
  const rows = useDeferredValue(all, all.slice(0, FIRST_ROWS));
  return (
    <div className="compass-table scrolled" tabIndex={0} role="region" aria-label="Table of the compass">
      <table>
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">Note</th>
            <th scope="col">Verdict</th>
            {COLUMNS.map(([name, words]) => (
              <th key={name} scope="col" className="number">
                {words}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ midi, verdict, row }) => (
            <tr key={midi} data-selected={midi === selected || undefined}>
              <th scope="row">
                <button type="button" className="compass-note-link" onClick={() => onOpen(midi)}>
                  <NoteName midi={midi} stamp />
                </button>
              </th>
              <td>
                <VerdictMark verdict={verdict} />
              </td>
              {COLUMNS.map(([name]) => (
                <td key={name} className="number">
                  {row[name]}
                  {name === 'off' && row.offRange !== null && <small> ({row.offRange})</small>}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
