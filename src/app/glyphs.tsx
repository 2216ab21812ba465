/** The drawn marks: one shelf, and what stands on it. Always beside a word, so hidden from speech. */

import type { ReactNode } from 'react';
import type { Verdict } from '../analysis/document.ts';

function Glyph({ children, size = 24 }: { children: ReactNode; size?: number }) {
  return (
    <svg className="glyph" viewBox="0 0 24 24" width={size} height={size} aria-hidden="true">
      {children}
    </svg>
  );
}

/** Evenfall's mark: a hammer head resting on its shelf. */
export function HammerMark() {
  return (
    <Glyph size={36}>
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

/** A verdict: shape, word, and colour last. */
export function VerdictMark({ verdict }: { verdict: Verdict }) {
  return (
    <span className={`verdict ${verdict}`}>
      <Glyph>{VERDICT_SHAPES[verdict]}</Glyph>
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
};

/** A line icon of 24 pixels. */
export function Icon({ name }: { name: keyof typeof ICONS }) {
  return (
    <Glyph>
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
