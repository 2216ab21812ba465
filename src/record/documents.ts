/** Documents of the analysis, as types, for rooms that read them beside the record and analyse nothing themselves. */

export type { ComparisonDocument, NoteComparison } from '../analysis/compare.ts';
export type {
  AnalysisDocument,
  Finding,
  FindingKind,
  Measure,
  MeasureKind,
  NoteResult,
  PooledDocument,
  Verdict,
} from '../analysis/document.ts';
