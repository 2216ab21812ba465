/** What became of a note: two bars that close, open, stay level or are dashed, with the word. */

import { CHANGE_WORDS, type ChangeWord } from './changes.ts';

const SHAPES: Readonly<Record<ChangeWord, string>> = {
  improved: 'M3 3v18M7 5.5L18 11M7 18.500L18 13M22 10v4',
  worse: 'M2 10v4M6 11l11-5.500M6 13l11 5.500M21 3v18',
  'no-change-shown': 'M3 4v16M7 8.500h10M7 15.500h10M21 4v16',
  insufficient: 'M3 4v16M7 8.500h3M12 8.500h3M17 8.500h3M7 15.500h3M12 15.500h3M17 15.500h3',
};

export function ChangeMark({ change }: { change: ChangeWord }) {
  return (
    <span className={`change change-${change}`}>
      <svg className="glyph" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
        <path d={SHAPES[change]} strokeWidth="2.4" />
      </svg>
      {CHANGE_WORDS[change]}
    </span>
  );
}
