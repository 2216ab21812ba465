/** What is to be in order before the first round: each line in order, put right or open, or not looked at. */

import { READINESS, READINESS_ITEMS, READINESS_OPEN } from '../../piano/readiness.ts';
import { Choices } from '../fields/Choices.tsx';
import { READINESS_STATES, type VisitDraft } from './visitForm.ts';

interface Props {
  readonly readiness: VisitDraft['readiness'];
  readonly disabled?: boolean;
  onReadiness(readiness: VisitDraft['readiness']): void;
}

const STATES = { 'in-order': 'In order', 'put-right': 'Put right', open: 'Open' } as const;

export function ReadinessList({ readiness, disabled, onReadiness }: Props) {
  const open = READINESS_ITEMS.some((item) => readiness[item] === 'open');
  return (
    <div className="readiness">
      <ul>
        {READINESS_ITEMS.map((item) => {
          const { title, look, why, where, tool } = READINESS[item];
          return (
            <li key={item}>
              <h3>{title}</h3>
              <p>{look}</p>
              <p className="second">
                {why} {place(where)}; {tool}.
              </p>
              <Choices
                label={title}
                unnamed
                of={READINESS_STATES}
                words={STATES}
                chosen={readiness[item] ?? null}
                onChoose={(state) => onReadiness({ ...readiness, [item]: state })}
                onNone={() => onReadiness({ ...readiness, [item]: undefined })}
                disabled={disabled}
              />
            </li>
          );
        })}
      </ul>
      <p className="form-told" role="status">
        {open && READINESS_OPEN}
      </p>
    </div>
  );
}

function place(where: string): string {
  return where.charAt(0).toUpperCase() + where.slice(1);
}
