/**
 * Tables as CSV, for spreadsheets and for other programs.
 *
 * After RFC 4180: lines end in CRLF, the last one too; the first line holds the column names; a field that holds a comma, a quotation
 * mark, CR or LF stands in quotation marks, and a quotation mark within is doubled (section 2, rules 1 to 7). Beyond it:
 * UTF-8 without a mark, numbers in full with a point, what is not known is empty.
 *
 * Words that people typed and that begin as a formula would (=, +, -, @, or a tab or line end before) get an apostrophe before them, so that
 * no spreadsheet runs them (common practice against formula injection: OWASP). Numbers stay as they are.
 */

/** A field: words of the program or typed ones, a number, yes or no; null where it is not known. */
export type Field = string | number | boolean | null;

/** A column: its name, with the unit where it has one, and what stands in it. */
export interface Column<Row> {
  readonly name: string;
  readonly of: (row: Row) => Field;
}

/**
 * The table as text.
 * @throws RangeError for a number that is not finite.
 */
export function csvText<Row>(columns: readonly Column<Row>[], rows: readonly Row[]): string {
  const lines = [
    columns.map(({ name }) => quoted(name)),
    ...rows.map((row) => columns.map(({ of }) => fieldText(of(row)))),
  ];
  return lines.map((fields) => `${fields.join(',')}\r\n`).join('');
}

function fieldText(field: Field): string {
  if (field === null) return '';
  if (typeof field === 'boolean') return field ? 'yes' : 'no';
  if (typeof field === 'number') {
    if (!Number.isFinite(field)) throw new RangeError(`${field} in a table; expected a finite number`);
    return String(field + 0);
  }
  return quoted(harmless(field));
}

function harmless(words: string): string {
  return /^\s*[=+\-@]|^[\t\r\n]/.test(words) ? `'${words}` : words;
}

function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
