/** What is said of a visit: room, lid, microphone, player, new parts, notes. */

import { Choices } from '../fields/Choices.tsx';
import { TextField } from '../fields/TextField.tsx';
import { LIDS, type VisitDraft, type VisitFacts, type VisitField, type VisitRead } from './visitForm.ts';

interface Props {
  readonly draft: VisitDraft;
  readonly read: VisitRead<VisitFacts>;
  readonly readOnly: boolean;
  /** Player and place of the microphone are asked for elsewhere already. */
  readonly before?: boolean;
  onDraft(draft: VisitDraft): void;
}

type Typed = Exclude<VisitField, 'lid' | 'readiness'>;
const LID_WORDS = { closed: 'Closed', half: 'Half', open: 'Open', off: 'Off' } as const;

export function VisitFields({ draft, read, readOnly, before = false, onDraft }: Props) {
  const set = (change: Partial<VisitDraft>) => onDraft({ ...draft, ...change });
  const field = (name: Typed) => ({
    value: draft[name],
    onText: (text: string) => set({ [name]: text }),
    fault: read.faults[name],
    unusual: read.unusual[name],
    disabled: readOnly,
  });
  return (
    <div className="form-part">
      <div className="form-pair">
        <TextField name="Room temperature" unit="°C" keys="text" {...field('temperature')} />
        <TextField name="Relative humidity" unit="%" keys="decimal" {...field('humidity')} />
      </div>
      <Choices
        label="Lid"
        of={LIDS}
        words={LID_WORDS}
        chosen={draft.lid}
        onChoose={(lid) => set({ lid })}
        onNone={() => set({ lid: null })}
        disabled={readOnly}
      />
      {!before && (
        <>
          <TextField name="Who played" {...field('player')} />
          <TextField
            name="Where the microphone stands"
            hint="on a cloth, left of the keys"
            {...field('microphonePlace')}
          />
        </>
      )}
      <TextField name="Microphone" hint="the phone’s own" {...field('microphone')} />
      <TextField
        name="New parts that have yet to settle"
        hint="hammers, springs of the top section"
        {...field('newParts')}
      />
      <TextField name="Notes" long {...field('notes')} />
    </div>
  );
}
