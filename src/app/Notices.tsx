/** Warnings, the same on every screen: what happened, what is kept, what to do. */

import { Icon, type IconName } from './glyphs.tsx';
import type { Notice } from './listen/view.ts';

interface Props {
  notices: readonly Notice[];
  onAction: (code: string, action: string) => void;
}

/** Those with a title of their own as cards; the first action of each is the one to take. */
export function NoticeCards({ notices, onAction }: Props) {
  if (notices.length === 0) return null;
  return (
    <div className="notice-cards">
      {notices.map(({ code, title, text, stops, actions }) => (
        <section className={stops ? 'notice-card stops' : 'notice-card'} key={code}>
          <h2>
            <Icon name={iconOf(code)} />
            {title}
          </h2>
          <p>{text}</p>
          {actions.length > 0 && (
            <div className="notice-actions">
              {actions.map(({ id, label }, i) => (
                <button type="button" key={id} className={i === 0 ? 'act' : 'other'} onClick={() => onAction(code, id)}>
                  {label}
                </button>
              ))}
            </div>
          )}
        </section>
      ))}
    </div>
  );
}

/** While playing: the first in full, of the others the titles; nothing to tap unless it has actions. */
export function PlayingNotice({ notices, onAction }: Props) {
  if (notices.length === 0) return null;
  const [first, ...others] = notices;
  return (
    <section className="playing-notice">
      <Icon name="warning" />
      <div>
        <p>
          <strong>{endedSentence(first.title)}</strong> {first.text}
        </p>
        {others.map(({ code, title }) => (
          <p key={code}>
            <strong>{endedSentence(title)}</strong>
          </p>
        ))}
        {notices.some(({ actions }) => actions.length > 0) && (
          <div className="notice-actions">
            {notices.flatMap(({ code, actions }) =>
              actions.map(({ id, label }) => (
                <button type="button" className="other" key={`${code}-${id}`} onClick={() => onAction(code, id)}>
                  {label}
                </button>
              )),
            )}
          </div>
        )}
      </div>
    </section>
  );
}

function endedSentence(title: string): string {
  return /[.?!]$/.test(title) ? title : `${title}.`;
}

function iconOf(code: string): IconName {
  if (/storage|room-left|memory/.test(code)) return 'file';
  if (/refused|microphone/.test(code)) return 'microphone';
  return /interrupted|rest/.test(code) ? 'pause' : 'warning';
}
