/** A round that came as a recording: for which piano it is kept. */

import { useId, useState } from 'react';
import type { KeepChoice, KeepOffer } from './view.ts';

interface Props {
  offer: KeepOffer;
  onKeep: (choice: KeepChoice) => void;
}

export function KeepRound({ offer: { pianos, keeping }, onKeep }: Props) {
  const [choice, setChoice] = useState<KeepChoice>({ pianoId: null, name: '', place: '' });
  const set = (change: Partial<KeepChoice>) => setChoice({ ...choice, ...change });
  const id = useId();
  const isNew = choice.pianoId === null;
  return (
    <details className="keep-hand">
      <summary>Keep this round</summary>
      <div className="start-part">
        <p>It becomes a closed round of today’s visit, with its sound.</p>
        {pianos.length > 0 && (
          <div>
            <label className="field-name" htmlFor={`${id}-piano`}>
              Piano
            </label>
            <select
              id={`${id}-piano`}
              value={choice.pianoId ?? ''}
              onChange={({ target }) => set({ pianoId: target.value || null })}
            >
              <option value="">A new piano</option>
              {pianos.map(({ id: pianoId, name, place }) => (
                <option key={pianoId} value={pianoId}>
                  {place ? `${name}, ${place}` : name}
                </option>
              ))}
            </select>
          </div>
        )}
        {isNew && (
          <>
            <Field id={`${id}-name`} name="Name of the piano" value={choice.name} onText={(name) => set({ name })} />
            <Field id={`${id}-place`} name="Where it stands" value={choice.place} onText={(place) => set({ place })} />
          </>
        )}
        <button
          type="button"
          className="act"
          disabled={keeping || (isNew && choice.name.trim() === '')}
          onClick={() => onKeep(choice)}
        >
          {keeping ? 'Being kept' : 'Keep'}
        </button>
      </div>
    </details>
  );
}

interface FieldProps {
  id: string;
  name: string;
  value: string;
  onText: (text: string) => void;
}

function Field({ id, name, value, onText }: FieldProps) {
  return (
    <div>
      <label className="field-name" htmlFor={id}>
        {name}
      </label>
      <input id={id} type="text" value={value} autoComplete="off" onChange={({ target }) => onText(target.value)} />
    </div>
  );
}
