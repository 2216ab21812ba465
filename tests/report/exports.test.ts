import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csvText, type Field } from '../../src/report/csv.ts';
import { visitTables } from '../../src/report/tables.ts';
import { readVisitFile, visitFile, visitText } from '../../src/report/visitFile.ts';
import type { ReportedVisit } from '../../src/report/visit.ts';
import { thingsOf } from '../record/generated.ts';
import { SCHEMA_FILE, schemaText } from './jsonSchema.ts';
import { madeVisit } from './madeVisit.ts';
import { smallVisit } from './visits.ts';

/** What Python's csv module reads, its dialect that of RFC 4180. */
function read(texts: readonly string[]): string[][][] {
  const script =
    'import csv,io,json,sys; print(json.dumps([list(csv.reader(io.StringIO(t,newline=""),strict=True)) for t in json.load(sys.stdin)]))';
  const found = execFileSync('python3', ['-c', script], { input: JSON.stringify(texts), maxBuffer: 2 ** 28 });
  return JSON.parse(found.toString()) as string[][][];
}

describe('CSV', () => {
  it('is as RFC 4180, section 2 shows', () => {
    const columns = ['aaa', 'bbb', 'ccc'].map((name, i) => ({ name, of: (row: readonly Field[]) => row[i] }));
    // Rules 5 to 7: line ends, commas and quotation marks within fields.
    expect(
      csvText(columns, [
        ['aaa', 'b\r\nbb', 'ccc'],
        ['zzz', 'b"bb', 'x,y'],
        [1.5, null, true],
      ]),
    ).toBe('aaa,bbb,ccc\r\naaa,"b\r\nbb",ccc\r\nzzz,"b""bb","x,y"\r\n1.5,,yes\r\n');
    expect(csvText(columns, [])).toBe('aaa,bbb,ccc\r\n');
    expect(() => csvText(columns, [[NaN, 1, 2]])).toThrow('finite');
  });

  it('comes back from an independent reader as it went in, typed formulas made harmless', () => {
    const fields = fc.oneof(
      fc.string(),
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.constantFrom('=1+1', '-2 mm', '@x', '+', '\t=a', '"', '\r\n'),
    );
    const rows = fc.array(fc.tuple(fields, fields), { minLength: 1, maxLength: 6 });
    const tables = fc.sample(rows, { numRuns: 150, seed: 9 });
    const columns = [0, 1].map((i) => ({
      name: `c${i}`,
      of: (row: readonly [string | number, string | number]) => row[i],
    }));
    const found = read(tables.map((table) => csvText(columns, table)));
    let defused = 0;
    found.forEach(([head, ...lines], t) => {
      expect(head).toEqual(['c0', 'c1']);
      lines.forEach((line, r) =>
        line.forEach((text, c) => {
          const was = tables[t][r][c];
          if (typeof was === 'number') expect(Number(text)).toBe(was + 0);
          else if (text !== was) {
            expect(text).toBe(`'${was}`);
            expect(was).toMatch(/^[\s]*[=+\-@]|^[\t\r\n]/);
            defused++;
          } else expect(text).not.toMatch(/^[=+\-@\t\r]/);
        }),
      );
      expect(lines).toHaveLength(tables[t].length);
    });
    expect(defused).toBeGreaterThan(50);
  });

  it('holds every stroke, note and piece of work of the demo visit', () => {
    const reported = smallVisit();
    const tables = visitTables(reported);
    const [strokes, notes, work] = read(tables.map(({ text }) => text)).map(([head, ...rows]) => ({
      rows: rows.map((row) => Object.fromEntries(row.map((text, i) => [head[i], text]))),
    }));
    expect(tables.map(({ file }) => file)).toEqual(['strokes.csv', 'notes.csv', 'work.csv']);
    const all = reported.takes.flatMap(({ heard }) => heard.strokes);
    expect(strokes.rows).toHaveLength(all.length);
    const sum = (column: string) => strokes.rows.reduce((total, row) => total + Number(row[column]), 0);
    expect(sum('time_s')).toBeCloseTo(
      all.reduce((total, { timeSeconds }) => total + timeSeconds, 0),
      6,
    );
    const verdicts = notes.rows.filter(({ row }) => row === 'verdict');
    expect(verdicts).toHaveLength(reported.rounds.reduce((total, { summary }) => total + summary!.verdicts.length, 0));
    const change = notes.rows.find(
      ({ row, what, note }) => row === 'change' && what === 'double-strikes' && note === 'A#5',
    )!;
    const measure = reported.compared[0].document.notes
      .find(({ midi }) => midi === 82)!
      .measures.find(({ kind }) => kind === 'double-strikes')!;
    expect(Number(change.before)).toBe(measure.before);
    expect(Number(change.q)).toBe(measure.q);
    expect(
      notes.rows.filter(({ row, value }) => row === 'outcome' && value === 'improved').map(({ note }) => note),
    ).toEqual(['A#5']);
    const count = (row: string) => work.rows.filter((one) => one.row === row).length;
    expect(['adjustment', 'gauge', 'mark', 'hours', 'readiness'].map(count)).toEqual([5, 8, 3, 3, 5]);
    expect(work.rows.find(({ note, what }) => note === 'A#5' && what === 'drop')!.length_mm).toBe('0.5');
  });
});

describe('JSON of a visit', () => {
  const published = readFileSync(SCHEMA_FILE, 'utf8');
  const accepts = new Ajv2020({ strict: true, strictTuples: false, strictRequired: false }).compile(
    JSON.parse(published) as object,
  );

  it('has its schema as generated', async () => {
    expect(published, 'npx tsx tests/report/writeSchema.ts writes it anew').toBe(await schemaText());
  });

  it('comes back as it went in: the demo visit', () => {
    const reported = smallVisit();
    const text = visitText(reported);
    const found = readVisitFile(text);
    // As text: JSON has one zero.
    expect(visitText({ ...reported, ...found }) === text).toBe(true);
    expect(found.takes).toEqual(reported.takes.map((take) => ({ ...take, pieces: 0 })));
    expect(accepts(JSON.parse(text)), JSON.stringify(accepts.errors)).toBe(true);
  });

  it('comes back as it went in: any visit', () => {
    const visits = fc
      .record({
        piano: thingsOf('pianos'),
        visit: thingsOf('visits'),
        rounds: fc.array(thingsOf('rounds'), { maxLength: 2 }),
        takes: fc.array(thingsOf('takes'), { maxLength: 1 }),
        adjustments: fc.array(thingsOf('adjustments'), { maxLength: 3 }),
        gauges: fc.array(thingsOf('gauges'), { maxLength: 3 }),
        marks: fc.array(thingsOf('marks'), { maxLength: 3 }),
        hours: fc.array(thingsOf('hours'), { maxLength: 3 }),
        reference: fc.option(thingsOf('references'), { nil: null }),
        remarks: fc.array(fc.string(), { maxLength: 2 }),
        invented: fc.boolean(),
      })
      .map((made): ReportedVisit => {
        const own = <T extends object>(things: readonly T[]) =>
          things.map((thing) => ({ ...thing, visitId: made.visit.id }));
        return {
          ...made,
          visit: { ...made.visit, pianoId: made.piano.id },
          rounds: own(made.rounds),
          takes: own(made.takes),
          adjustments: own(made.adjustments),
          gauges: own(made.gauges),
          marks: own(made.marks),
          hours: own(made.hours),
          ...{ judged: [], compared: [], utcOffsetMinutes: 0 },
        };
      });
    fc.assert(
      fc.property(visits, (reported) => {
        const text = visitText(reported);
        // JSON has one zero.
        expect(readVisitFile(text)).toEqual(JSON.parse(JSON.stringify(visitFile(reported))));
        expect(accepts(JSON.parse(text)), JSON.stringify(accepts.errors)).toBe(true);
      }),
      { seed: 3, numRuns: 60 },
    );
  });

  it('brings an older visit up to the present form', () => {
    const file = JSON.parse(visitText(madeVisit([{ midi: 50, verdicts: ['steady'] }]))) as {
      piano: Record<string, unknown>;
    };
    delete file.piano.order;
    file.piano.recordVersion = 1;
    expect(readVisitFile(JSON.stringify(file)).piano).toMatchObject({ recordVersion: 2, order: 'blow-first' });
  });

  it('refuses what is no visit, by name', () => {
    const good = JSON.parse(visitText(madeVisit([]))) as Record<string, unknown>;
    const refused = (changes: object) => () => readVisitFile(JSON.stringify({ ...good, ...changes }));
    expect(() => readVisitFile('{"schema"')).toThrow('no whole JSON; expected a visit (evenfall.visit/1)');
    expect(() => readVisitFile('[]')).toThrow('says of itself no schema');
    expect(refused({ schema: 'evenfall.analysis/1' })).toThrow('a file of "evenfall.analysis/1"');
    expect(refused({ schema: 'evenfall.visit/2' })).toThrow('evenfall.visit/2, from another Evenfall');
    expect(refused({ rounds: null })).toThrow('no "rounds"');
    expect(refused({ visit: { ...(good.visit as object), lid: 'ajar' } })).toThrow(
      '"lid" is "ajar"; expected closed, half, open, off',
    );
    expect(refused({ visit: { ...(good.visit as object), recordVersion: 99 } })).toThrow('newer');
    expect(refused({ visit: { ...(good.visit as object), pianoId: 'other' } })).toThrow('another piano');
    expect(refused({ rounds: [{ ...(good.rounds as object[])[0], visitId: 'other' }] })).toThrow(
      'rounds.0 of another visit',
    );
  });
});
