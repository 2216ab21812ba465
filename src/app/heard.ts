/** The parts of an analysis document by name, as the page shows them. */

import type { AnalysisDocument } from '../analysis/document.ts';

export type Stroke = AnalysisDocument['strokes'][number];
export type Passage = NonNullable<Stroke['passage']>;
export type Doubt = Stroke['doubt'][number];
