/**
 * Several recordings pooled into one round: strokes of one note count together, whichever recording they are from.
 *
 * Each recording is analysed by itself first; no time and no interval goes across two. A recording that could not be read
 * keeps its place among the sources and takes nothing from the others.
 */

import { judged, type JudgeOptions } from './analyse.ts';
import {
  ANALYSIS_SCHEMA,
  ANALYSIS_VERSION,
  ERROR_SCHEMA,
  type AnalysisDocument,
  type ErrorDocument,
  type Pooled,
  type PooledDocument,
} from './document.ts';

/**
 * Pools documents, in the order given.
 * @throws RangeError for a document of another analysis version: its numbers are not comparable.
 */
export function together(
  documents: readonly (AnalysisDocument | ErrorDocument)[],
  options: JudgeOptions = {},
): PooledDocument {
  const warnings: PooledDocument['warnings'][number][] = [];
  const takes: PooledDocument['takes'][number][] = [];
  const strokes: PooledDocument['strokes'][number][] = [];
  const bars: PooledDocument['bars'][number][] = [];
  let lastTake = 0;
  let lastGroup = 0;
  documents.forEach((document, source) => {
    if (document.schema === ERROR_SCHEMA) return;
    if (document.analysisVersion !== ANALYSIS_VERSION) {
      throw new RangeError(
        `${document.source.file}: analysis version ${document.analysisVersion}; expected ${ANALYSIS_VERSION}`,
      );
    }
    const [takesBefore, groupsBefore] = [lastTake, lastGroup];
    const pooled = <Part extends object>(part: Part): Pooled<Part> => ({ ...part, source });
    const take = (n: number): number => {
      lastTake = Math.max(lastTake, takesBefore + n);
      return takesBefore + n;
    };
    const group = (n: number): number => {
      lastGroup = Math.max(lastGroup, groupsBefore + n);
      return groupsBefore + n;
    };
    warnings.push(...document.warnings.map(pooled));
    takes.push(...document.takes.map((each) => pooled({ ...each, take: take(each.take) })));
    strokes.push(
      ...document.strokes.map((each) =>
        pooled({ ...each, take: take(each.take), group: each.group === null ? null : group(each.group) }),
      ),
    );
    bars.push(...document.bars.map((each) => pooled({ ...each, group: group(each.group) })));
  });
  const { hand, expectedFalseUnstable, advice, notes } = judged(strokes, takes, options);
  return {
    schema: ANALYSIS_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    sources: documents.map((document) => (document.schema === ERROR_SCHEMA ? document : document.source)),
    warnings,
    hand,
    expectedFalseUnstable,
    advice,
    takes,
    strokes,
    bars,
    notes,
  };
}
