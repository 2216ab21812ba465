/** The drawn marks: one shelf, and what stands on it. Always beside a word, so hidden from speech. */

import type { ReactNode } from 'react';
import type { Verdict } from '../analysis/document.ts';

interface GlyphProps {
  children: ReactNode;
  size?: number;
  className?: string;
}

function Glyph({ children, size = 24, className = '' }: GlyphProps) {
  return (
    <svg className={`glyph ${className}`} viewBox="0 0 24 24" width={size} height={size} aria-hidden="true">
      {children}
    </svg>
  );
}

/** Evenfall's mark: a hammer head resting on its shelf. */
export function HammerMark() {
  return (
    <Glyph size={36} className="hammer">
      <path
        className="filled"
        d="M12 4.500c3.4 0 5.5 2.7 5.5 5.4 0 2-1.1 3.9-2.7 5.100H9.200c-1.6-1.2-2.7-3.1-2.7-5.1 0-2.7 2.1-5.4 5.5-5.400z"
      />
      <path d="M2.5 18.500h19" strokeWidth="2.6" />
    </Glyph>
  );
}

const VERDICT_SHAPES: Readonly<Record<Verdict, ReactNode>> = {
  steady: (
    <>
      <circle className="filled" cx="12" cy="11" r="4" />
      <path d="M4 18h16" strokeWidth="3" />
    </>
  ),
  watch: (
    <>
      <circle className="filled" cx="8.5" cy="9" r="3.6" />
      <path d="M4 16.600l16-4.2" strokeWidth="3" />
      <path className="filled" d="M13 17.500l3 4h-6z" />
    </>
  ),
  unstable: (
    <>
      <circle className="filled" cx="7" cy="7" r="3.2" />
      <circle className="filled" cx="17" cy="12" r="3.2" />
      <path d="M3 13.500h8M13 18.500h8" strokeWidth="3" />
    </>
  ),
  insufficient: (
    <>
      <circle cx="12" cy="9.5" r="4" strokeDasharray="2.2 2" strokeWidth="1.8" />
      <path d="M3 18h4.500M9.8 18h4.500M16.6 18h4.5" strokeWidth="2.6" />
    </>
  ),
};

const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  steady: 'Steady',
  watch: 'Watch',
  unstable: 'Unstable',
  insufficient: 'Not enough yet',
};

/** The shape alone, where the word stands elsewhere. */
export function VerdictGlyph({ verdict }: { verdict: Verdict }) {
  return <Glyph>{VERDICT_SHAPES[verdict]}</Glyph>;
}

/** A verdict: shape, word, and colour last. */
export function VerdictMark({ verdict }: { verdict: Verdict }) {
  return (
    <span className={`verdict ${verdict}`}>
      <VerdictGlyph verdict={verdict} />
      {VERDICT_WORDS[verdict]}
    </span>
  );
}

const ICONS = {
  open: 'M4 19V6h6l2 2.500h8V19z',
  in: 'M12 5v14M5 12h14',
  out: 'M5 12h14',
  fit: 'M4 6v12M20 6v12M8 12h8M10.5 9.500L8 12l2.5 2.500M13.5 9.500L16 12l-2.5 2.5',
  earlier: 'M14.5 5.500L8 12l6.5 6.5',
  later: 'M9.5 5.500L16 12l-6.5 6.5',
  back: 'M19 12H5.500M11 6l-6 6 6 6',
  more: 'M5 12h.01M12 12h.01M19 12h.01',
  undo: 'M8.500 7L4 11l4.5 4M4.500 11H15a5 5 0 0 1 5 5v2',
  pause: 'M8 4.500v15M16 4.500v15',
  goOn: 'M7 5l11 7-11 7z',
  again: 'M19 12a7 7 0 1 1-2.1-5M17 3v4h-4',
  skip: 'M5 5l9.5 7L5 19zM19 5v14',
  microphone: 'M9 6.500a3 3 0 0 1 6 0V11a3 3 0 0 1-6 0zM5.500 11.500a6.5 6.5 0 0 0 13 0M12 18v3',
  file: 'M6 3.500h8l4 4v13H6zM14 3.500v4h4',
  visit: 'M3 19h18M6 19v-4M10 19v-7M14 19v-4M18 19V8',
  lock: 'M5.500 11h13v9h-13zM8 11V8a4 4 0 0 1 8 0v3',
  check: 'M4 13l5 5L20 6.5',
  warning: 'M12 4L2.500 20h19zM12 10v4.500M12 17.200v.01',
  waiting: 'M6 18h.01M10 18h.01M14 18h.01M18 18h.01',
  list: 'M4 6.500h.01M4 12h.01M4 17.500h.01M9 6.500h11M9 12h11M9 17.500h11',
  sheet: 'M6 3.500h12v17H6zM9.5 8.500h5M9.5 12h5M9.5 15.500h3',
  sound: 'M4 11v2M8 8v8M12 4v16M16 7v10M20 10.500v3',
};

export type IconName = keyof typeof ICONS;

/** A line icon of 24 pixels. */
export function Icon({ name }: { name: IconName }) {
  return (
    <Glyph className={name}>
      <path d={ICONS[name]} strokeWidth="2" />
    </Glyph>
  );
}

/** A silent stroke's cross, as in the picture. */
export function SilentMark() {
  return (
    <Glyph size={16}>
      <path d="M5 5l14 14M19 5L5 19" strokeWidth="4" />
    </Glyph>
  );
}
