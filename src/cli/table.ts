/**
 * Tables for people: columns under their headings, two blanks apart.
 */

export interface Column<Row> {
  readonly title: string;
  /** Numbers stand right, words left. */
  readonly side: 'left' | 'right';
  readonly cell: (row: Row) => string;
}

/** What stands where there is nothing to say. */
export const NOTHING = '-';

/** The table as lines of text, without blanks at their ends; the headings first. */
export function tableLines<Row>(columns: readonly Column<Row>[], rows: readonly Row[]): string[] {
  const cells = [columns.map(({ title }) => title), ...rows.map((row) => columns.map(({ cell }) => cell(row)))];
  const widths = columns.map((_, i) => Math.max(...cells.map((line) => line[i].length)));
  return cells.map((line) =>
    line
      .map((text, i) => (columns[i].side === 'left' ? text.padEnd(widths[i]) : text.padStart(widths[i])))
      .join('  ')
      .trimEnd(),
  );
}
