/** Tables for people: aligned text, or Markdown. */

export interface Table {
  readonly title: string;
  /** What the figures rest on, one sentence or two. */
  readonly rests: string;
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Lines under the table, such as the list of misses. */
  readonly notes?: readonly string[];
}

/** Fixed decimals; "lost" for what was not found so often that the quantile has no value; "-" for what was not measured. */
export function figure(value: number | null | undefined, decimals: number): string {
  if (value === null || value === undefined) return '-';
  return Number.isFinite(value) ? value.toFixed(decimals) : 'lost';
}

/** Seconds as milliseconds. */
export function milliseconds(value: number | null | undefined, decimals = 3): string {
  return figure(value === null || value === undefined ? value : value * 1000, decimals);
}

/** A share as per cent. */
export function perCent(share: number | null | undefined, decimals = 1): string {
  return figure(share === null || share === undefined ? share : share * 100, decimals);
}

/** Columns aligned with spaces; the first to the left, the others to the right. */
export function asText({ title, rests, head, rows, notes = [] }: Table): string {
  const widths = head.map((cell, c) => Math.max(cell.length, ...rows.map((row) => row[c].length)));
  const line = (row: readonly string[]): string =>
    row.map((cell, c) => (c === 0 ? cell.padEnd(widths[c]) : cell.padStart(widths[c]))).join('  ');
  const rule = widths.map((width) => '-'.repeat(width)).join('  ');
  return [title, rests, '', line(head), rule, ...rows.map(line), ...notes.map((note) => `  ${note}`), ''].join('\n');
}

/** A Markdown section of level 3. */
export function asMarkdown({ title, rests, head, rows, notes = [] }: Table): string {
  const line = (row: readonly string[]): string => `| ${row.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`;
  const rule = `| ${head.map((_, c) => (c === 0 ? '---' : '--:')).join(' | ')} |`;
  const below = notes.length ? ['', ...notes.map((note) => `- ${note}`)] : [];
  return [`### ${title}`, '', rests, '', line(head), rule, ...rows.map(line), ...below, ''].join('\n');
}

/**
 * `text` with what stands between the two marks replaced.
 * @throws RangeError if the marks are not there, once each and in order.
 */
export function replaceBetween(text: string, begin: string, end: string, block: string): string {
  const from = text.indexOf(begin);
  const to = text.indexOf(end);
  if (from < 0 || to < from || text.indexOf(begin, from + 1) >= 0 || text.indexOf(end, to + 1) >= 0) {
    throw new RangeError(`expected "${begin}" and "${end}" once each and in this order`);
  }
  return `${text.slice(0, from + begin.length)}\n\n${block.trim()}\n\n${text.slice(to)}`;
}
