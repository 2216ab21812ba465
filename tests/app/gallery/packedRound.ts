/** Documents in little room: the names of the strokes' fields stand once. */

import type { AnalysisDocument } from '../../../src/analysis/document.ts';

export type Packed = Omit<AnalysisDocument, 'strokes'> & {
  readonly strokes: { readonly fields: readonly string[]; readonly rows: readonly (readonly unknown[])[] };
};

/** The document as it was, its numbers rounded to ten-thousandths. */
export function unpacked({ strokes: { fields, rows }, ...rest }: Packed): AnalysisDocument {
  const strokes = rows.map((row) => Object.fromEntries(fields.map((field, i) => [field, row[i]])));
  return { ...rest, strokes: strokes as unknown as AnalysisDocument['strokes'] };
}
