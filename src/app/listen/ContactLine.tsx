/** The line under the lanes: what was clear and what failed, or the note left out, or the take that ended. */

import type { ReactNode } from 'react';
import { NoteName } from '../NoteName.tsx';
import { VerdictMark } from '../glyphs.tsx';
import { StrokeMark, type MarkKind } from './StrokeMark.tsx';
import type { ListenView } from './view.ts';

type Contact = ListenView['contact'];

/** `tall` says that some slots stand for firm strokes. */
export function ContactLine({ contact, tall }: { contact: Contact; tall: boolean }) {
  switch (contact.kind) {
    case 'counts':
      return (
        <Line>
          <Count kind="clear" n={`${contact.clear} of ${contact.of}`} word="clear" />
          {contact.silent > 0 && <Count kind="silent" n={contact.silent} word="silent" />}
          {contact.weak > 0 && <Count kind="weak" n={contact.weak} word="weak" />}
          {contact.double > 0 && <Count kind="double" n={contact.double} word="doubled" />}
          {tall && contact.silent + contact.weak + contact.double === 0 && (
            <span className="aside">firm: tall slots</span>
          )}
        </Line>
      );
    case 'spoke':
      return (
        <Line>
          <Count kind="clear" n={contact.spoke} word="spoke" />
          <Count kind="double" n={contact.doubled} word="doubled" />
          <Count kind="silent" n={contact.silent} word="silent" />
        </Line>
      );
    case 'compared':
      return (
        <Line>
          <span className="of">{contact.label}:</span>
          <Count kind="silent" n={contact.silent} word="silent" />
          <Count kind="weak" n={contact.weak} word="weak" />
        </Line>
      );
    case 'bar':
      return (
        <Line>
          {contact.steady !== null && (
            <span className="check-word">
              <StrokeMark kind={contact.steady ? 'steady' : 'silent'} />
              {contact.steady ? 'Steady' : 'Too fast'}
            </span>
          )}
          {contact.tooFast > 0 && (
            <span className="aside">
              {contact.tooFast} {contact.tooFast === 1 ? 'was' : 'were'} too fast, not counted
            </span>
          )}
        </Line>
      );
    case 'stray':
      return (
        <Line>
          <span className="stray">
            <NoteName midi={contact.midi} stamp /> left out
          </span>
        </Line>
      );
    case 'finished':
      return (
        <Line>
          <span className="ended">
            <NoteName midi={contact.midi} stamp />
          </span>
          {contact.verdict && <VerdictMark verdict={contact.verdict} />}
          <span className="aside">
            {contact.kept ? 'kept' : contact.words}
            <br />
            {contact.clear} of {contact.of} clear
          </span>
        </Line>
      );
  }
}

function Line({ children }: { children: ReactNode }) {
  return <div className="contact-line">{children}</div>;
}

function Count({ kind, n, word }: { kind: MarkKind; n: number | string; word: string }) {
  return (
    <span className="count">
      <StrokeMark kind={kind} />
      <span>
        <strong>{n}</strong> <span className="count-word">{word}</span>
      </span>
    </span>
  );
}
