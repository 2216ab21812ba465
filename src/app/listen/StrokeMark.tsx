/** What a stroke looks like: one drawn mark for each kind, no two of one shape. */

/** Marks of strokes, heard and awaited. */
export type MarkKind = 'clear' | 'ring' | 'silent' | 'weak' | 'double' | 'now' | 'steady';

/** Paths in a box of 24: of filled marks, then of stroked ones; a double's second dot stands apart in its own colour. */
const PATHS: Readonly<
  Record<MarkKind, { readonly filled?: string; readonly stroked?: string; readonly second?: string }>
> = {
  clear: { filled: 'M12 4.500a7.5 7.5 0 1 1 0 15a7.5 7.5 0 1 1 0-15z' },
  ring: { stroked: 'M12 5.700a6.3 6.3 0 1 1 0 12.600a6.3 6.3 0 1 1 0-12.600z' },
  silent: { stroked: 'M5 5l14 14M19 5L5 19' },
  weak: { filled: 'M3.500 18a8.5 8.5 0 0 1 17 0z' },
  double: {
    filled: 'M9 3.500a7 7 0 1 1 0 14a7 7 0 1 1 0-14z',
    second: 'M19.300 12.700a4.4 4.4 0 1 1 0 8.800a4.4 4.4 0 1 1 0-8.800z',
  },
  now: { stroked: 'M6 9l6 6.500L18 9' },
  steady: { stroked: 'M3 12h18' },
};

/** The mark of one kind, 24 px unless the style sheet says otherwise; the words stand beside it. */
export function StrokeMark({ kind }: { kind: MarkKind }) {
  const { filled, stroked, second } = PATHS[kind];
  return (
    <svg className={`mark mark-${kind}`} viewBox="0 0 24 24" aria-hidden="true">
      {filled && <path className="filled" d={filled} />}
      {stroked && <path className="stroked" d={stroked} />}
      {second && <path className="second-dot" d={second} />}
    </svg>
  );
}
