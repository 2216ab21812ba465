/** What the report's screen shows and does. */

import type { PictureNode } from '../../pictures/element.ts';

export interface ReportView {
  /** The report as drawn; null while it is being made. */
  readonly paper: PictureNode | null;
  /** What is being done, in words; null where nothing is. */
  readonly busy: string | null;
  /** What came of the last deed; empty before the first. */
  readonly outcome: string;
}

export interface ReportActions {
  print(): void;
  /** The report as one file of HTML. */
  save(): void;
  /** The visit as tables, as JSON, and its kept sound with marks. */
  saveTables(): void;
  saveVisit(): void;
  saveSound(): void;
}
