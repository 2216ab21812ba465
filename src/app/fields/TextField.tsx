/** A field to type into, with its name, and below it what it is for, why it was not read, or what is unusual about it. */

import { useId, useState } from 'react';
import { useAfterPress } from './useAfterPress.ts';

interface Props {
  readonly name: string;
  readonly value: string;
  onText(text: string): void;
  /** What is wanted, a few words below the name. */
  readonly note?: string;
  /** Stands after the field: "mm". */
  readonly unit?: string;
  readonly hint?: string;
  /** Why what is typed was not read; shown once the field was left. */
  readonly fault?: string;
  /** What is kept, but seldom so; likewise. */
  readonly unusual?: string;
  /** Which keys a phone shows. */
  readonly keys?: 'text' | 'decimal';
  /** Several lines. */
  readonly long?: boolean;
  readonly disabled?: boolean;
}

export function TextField({ name, value, onText, note, unit, hint, fault, unusual, keys, long, disabled }: Props) {
  const id = useId();
  // Nobody is told off in the midst of a word.
  const [left, setLeft] = useState(value !== '');
  const afterPress = useAfterPress();
  const said = left ? (fault ?? unusual ?? null) : null;
  const own = {
    ...{ id, value, disabled, placeholder: hint, autoComplete: 'off' },
    'aria-invalid': left && fault !== undefined,
    'aria-describedby': [note ? `${id}-note` : '', `${id}-said`].join(' ').trim(),
    // What is told stays while it is put right.
    onFocus: () => fault === undefined && unusual === undefined && setLeft(false),
    onBlur: () => afterPress(() => setLeft(true)),
  };
  return (
    <div className="field">
      <label className="field-name" htmlFor={id}>
        {name}
        {unit && <span className="unseen">, {unit}</span>}
      </label>
      {note && (
        <p className="second" id={`${id}-note`}>
          {note}
        </p>
      )}
      <div className="field-line">
        {long ? (
          <textarea {...own} rows={3} onChange={({ target }) => onText(target.value)} />
        ) : (
          <input {...own} type="text" inputMode={keys} onChange={({ target }) => onText(target.value)} />
        )}
        {unit && <span aria-hidden="true">{unit}</span>}
      </div>
      <p
        className={said === null ? undefined : fault === undefined ? 'unusual' : 'field-fault'}
        id={`${id}-said`}
        role="status"
      >
        {said}
      </p>
    </div>
  );
}
