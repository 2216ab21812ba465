/** One piano: what it is, where its sections break, what it is set to. Kept as it is typed. */

import { MEASURED, MEASURED_LENGTHS } from '../../piano/measuredLengths.ts';
import { UPRIGHT_WHY } from '../../piano/uprights.ts';
import { Choices } from '../fields/Choices.tsx';
import { TextField } from '../fields/TextField.tsx';
import type { LengthUnit } from '../fields/readFields.ts';
import { COMPASSES, type PianoDraft, type PianoField, type PianoRead } from './pianoForm.ts';

interface Props {
  readonly draft: PianoDraft;
  readonly read: PianoRead;
  readonly unit: LengthUnit;
  readonly readOnly: boolean;
  onDraft(draft: PianoDraft): void;
  onDone(): void;
}

const KINDS = { grand: 'Grand', upright: 'Upright' } as const;
const COMPASS_WORDS = { '88': '88 keys', '85': '85 keys', other: 'Other' } as const;
const ORDERS = { 'blow-first': 'Blow first', 'dip-first': 'Dip first' } as const;

export function PianoScreen({ draft, read, unit, readOnly, onDraft, onDone }: Props) {
  const set = (change: Partial<PianoDraft>) => onDraft({ ...draft, ...change });
  const field = (name: PianoField) => ({
    value: draft[name],
    onText: (text: string) => set({ [name]: text }),
    fault: read.faults[name],
    unusual: read.unusual[name],
    disabled: readOnly,
  });
  const grand = draft.kind === 'grand';
  const short = unit === 'mm' ? 'mm' : 'in';
  return (
    <main className="form-screen">
      <div className="form-columns">
        <div className="form-part">
          <TextField name="Name" {...field('name')} />
          <TextField name="Where it stands" {...field('place')} />
          <Choices
            label="Kind"
            of={['grand', 'upright']}
            words={KINDS}
            chosen={draft.kind}
            onChoose={(kind) => set({ kind })}
            disabled={readOnly}
          />
          {!grand && <p className="form-told">{UPRIGHT_WHY}</p>}
          <TextField name={grand ? 'Length' : 'Height'} unit="cm" keys="decimal" {...field('lengthCm')} />
          <Choices
            label="Keys"
            of={COMPASSES}
            words={COMPASS_WORDS}
            chosen={draft.compass}
            onChoose={(compass) => set({ compass })}
            disabled={readOnly}
          />
          {draft.compass === 'other' && (
            <div className="form-pair">
              <TextField name="Lowest key" hint="A0" {...field('lowest')} />
              <TextField name="Highest key" hint="C8" {...field('highest')} />
            </div>
          )}
          <TextField
            name="Where the sections break"
            note="The first key of each section but the lowest. Left empty, B2, B4 and G6 are taken."
            hint="E2, B3, F5"
            {...field('breaks')}
          />
          <TextField name="Highest damper" hint="F6" {...field('highestDamper')} />
        </div>
        <div className="form-part">
          <h2>What it is set to</h2>
          <p className="second">
            The maker’s specification, or what you agreed on; what you leave empty is not asked for.
            {unit === 'inch' && ' Fractions too: 1 3/4, 1/16.'}
          </p>
          <div className="form-lengths">
            {MEASURED.map((kind) => (
              <TextField
                key={kind}
                name={MEASURED_LENGTHS[kind].title}
                note={MEASURED_LENGTHS[kind].what}
                unit={short}
                keys={unit === 'mm' ? 'decimal' : 'text'}
                {...field(kind)}
              />
            ))}
          </div>
          {grand && (
            <Choices
              label="Working order"
              of={['blow-first', 'dip-first']}
              words={ORDERS}
              chosen={draft.order}
              onChoose={(order) => set({ order })}
              disabled={readOnly}
            />
          )}
        </div>
      </div>
      <FormFoot faults={Object.keys(read.faults).length} readOnly={readOnly} onDone={onDone} />
    </main>
  );
}

interface FootProps {
  /** Fields that could not be read. */
  readonly faults: number;
  readonly readOnly: boolean;
  onDone(): void;
}

/** Says what is kept, and leads on. */
export function FormFoot({ faults, readOnly, onDone }: FootProps) {
  const kept = 'What you type is kept at once.';
  const but =
    faults === 1 ? 'One field cannot be read; all else is kept.' : `${faults} fields cannot be read; all else is kept.`;
  return (
    <div className="form-foot">
      <p className="second" role="status">
        {readOnly ? 'This can be read here, and not be changed.' : faults === 0 ? kept : but}
      </p>
      <button type="button" className="act" onClick={onDone}>
        Done
      </button>
    </div>
  );
}
