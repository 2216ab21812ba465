/** Gauge readings at the bench: one note, six lengths, before the work or after it; and all that was read in the visit. */

import { useEffect, useRef, useState } from 'react';
import { MEASURED_LENGTHS, unusualLength, type Measured } from '../../piano/measuredLengths.ts';
import type { MidiNote, Millimetres } from '../../units.ts';
import { Choices } from '../fields/Choices.tsx';
import { readKey, readKeptLength } from '../fields/readFields.ts';
import { TextField } from '../fields/TextField.tsx';
import { useAfterPress } from '../fields/useAfterPress.ts';
import { Icon } from '../glyphs.tsx';
import { lengthsIn } from '../lengths.ts';
import { KeyNumber, NoteName } from '../NoteName.tsx';
import { spokenName } from '../words.ts';
import { GaugeTable } from './GaugeTable.tsx';
import type { GaugeRow, GaugeView, When } from './gaugeView.ts';

export interface GaugeActions {
  note(midi: MidiNote): void;
  read(midi: MidiNote, when: When, kind: Measured, millimetres: Millimetres): void;
  takeBack(id: string): void;
  done(): void;
}

interface Props {
  readonly view: GaugeView;
  readonly actions: GaugeActions;
}

const WHEN = { before: 'Before the work', after: 'After it' } as const;

export function GaugeScreen({ view, actions }: Props) {
  const { midi, rows, readOnly } = view;
  const [when, setWhen] = useState<When>(view.first);
  return (
    <main className="form-screen gauges">
      <div className="gauge-note">
        <Step to={view.lower} way="Lower" icon="earlier" onNote={actions.note} />
        <h2>
          <NoteName midi={midi} stamp />
          <KeyNumber midi={midi} />
        </h2>
        <Step to={view.upper} way="Higher" icon="later" onNote={actions.note} />
      </div>
      <div className="form-columns">
        <div className="form-part">
          <Choices<When> label="When" unnamed of={['before', 'after']} words={WHEN} chosen={when} onChoose={setWhen} />
          <ul className="gauge-rows">
            {rows.map((row) => (
              <Reading key={`${midi} ${when} ${row.kind}`} {...{ row, when, view, actions }} />
            ))}
          </ul>
        </div>
        <div className="form-part">
          {!readOnly && <OtherNote onNote={actions.note} />}
          <GaugeTable rows={view.all} onNote={actions.note} />
        </div>
      </div>
      <div className="form-foot">
        <p className="second">
          {readOnly
            ? 'This can be read here, and not be changed.'
            : 'A reading is kept once its field is left. Typed anew, the new one counts.'}
        </p>
        <button type="button" className="act" onClick={actions.done}>
          Done
        </button>
      </div>
    </main>
  );
}

interface StepProps {
  readonly to: MidiNote | null;
  readonly way: string;
  readonly icon: 'earlier' | 'later';
  onNote(midi: MidiNote): void;
}

function Step({ to, way, icon, onNote }: StepProps) {
  return (
    <button
      type="button"
      className="other"
      aria-disabled={to === null}
      aria-label={to === null ? `No ${way.toLowerCase()} key` : `${way} key, ${spokenName(to)}`}
      onClick={() => to !== null && onNote(to)}
    >
      <Icon name={icon} />
    </button>
  );
}

interface ReadingProps extends Props {
  readonly row: GaugeRow;
  readonly when: When;
}

function Reading({ row, when, view, actions }: ReadingProps) {
  const { kind, title, what, target } = row;
  const { unit, midi, readOnly } = view;
  const kept = row[when];
  const other = when === 'after' ? row.before : null;
  /** What is typed and not kept yet; null: nothing. */
  const [typed, setTyped] = useState<string | null>(null);
  const { least, most } = MEASURED_LENGTHS[kind];
  const shown = kept?.words.replace(/ (mm|in)$/, '') ?? '';
  const read = typed === null ? null : readKeptLength(typed, kept?.millimetres ?? null, unit, least, most);
  const take = () => {
    if (read === null || read.fault !== null) return;
    // An emptied field takes nothing back: that is said, not left out.
    if (read.value !== null && read.value !== kept?.millimetres) actions.read(midi, when, kind, read.value);
    setTyped(null);
  };
  // What is typed when the screen is left counts as well.
  const leaving = useRef(take);
  useEffect(() => {
    leaving.current = take;
  });
  useEffect(() => () => leaving.current(), []);
  const afterPress = useAfterPress();
  const words = kept === null ? null : unusualLength(kind, kept.millimetres, view.kind);
  return (
    <li
      onBlur={() => afterPress(() => leaving.current())}
      onKeyDown={({ key }) => {
        if (key === 'Enter') take();
      }}
    >
      <TextField
        name={title}
        note={[what, target && `set to ${target}`, other && `before: ${other.words}`].filter(Boolean).join('; ')}
        unit={unit === 'mm' ? 'mm' : 'in'}
        keys={unit === 'mm' ? 'decimal' : 'text'}
        value={typed ?? shown}
        onText={setTyped}
        fault={read?.fault ?? undefined}
        unusual={words === null ? undefined : lengthsIn(unit, words)}
        disabled={readOnly}
      />
      {kept && !readOnly && (
        <p className="gauge-kept">
          <span>
            <Icon name="check" />
            Kept{kept.times > 1 && `, read ${kept.times} times`}
          </span>
          <button
            type="button"
            aria-label={`Take back: ${title}, ${kept.words}`}
            onClick={() => actions.takeBack(kept.id)}
          >
            Take back
          </button>
        </p>
      )}
    </li>
  );
}

function OtherNote({ onNote }: { onNote: (midi: MidiNote) => void }) {
  const [typed, setTyped] = useState('');
  const read = readKey(typed);
  return (
    <form
      className="gauge-other"
      onSubmit={(event) => {
        event.preventDefault();
        if (read.value === null) return;
        setTyped('');
        onNote(read.value);
      }}
    >
      <TextField name="Another note" hint="F#5" value={typed} onText={setTyped} fault={read.fault ?? undefined} />
      <button type="submit" className="other">
        Go to it
      </button>
    </form>
  );
}
