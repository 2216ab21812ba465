/** The technician's sheets: what was measured and turned, what is set, what is to be looked at again; then a card for each open note. */

import { PRINT_PLATFORM } from '../pictures/compass/platformLine.ts';
import { element, type PictureNode } from '../pictures/element.ts';
import { VERDICT_WORDS } from '../pictures/words.ts';
import { drawnWords, stampedNote, worded } from './markup.ts';
import type { Report } from './model.ts';
import { foot, lineChart } from './ownerPage.ts';
import type { OpenNote, Pair, TechnicianSheet, WorkedRow } from './technician.ts';
import { hammerMark, OUTCOME_WORDS, outcomeMark, verdictMark } from './verdicts.ts';

const SHEET_PLATFORM = { ...PRINT_PLATFORM, width: 694, height: 104 };

/** The sheets as trees. */
export function technicianPages(report: Report): PictureNode[] {
  const { technician, lines } = report;
  const { openNotes } = technician;
  const sheet = element(
    'section',
    { class: 'page sheet' },
    head('Technician sheet', report),
    worded('h1', technician.title),
    ...technician.played.map((line) => worded('p', line, 'second')),
    ...workedTable(technician.worked),
    ...uprightTable(technician),
    ...technician.footing.map((line) => worded('p', line, 'second')),
    ...(technician.whole.length === 0
      ? []
      : [element('h2', {}, 'The whole piano'), ...technician.whole.map((line) => worded('p', line))]),
    ...(lines.length === 0
      ? []
      : [
          element('h2', {}, lines.length === 1 ? 'Platform line' : 'Platform line, after'),
          lineChart(lines[lines.length - 1].marks, SHEET_PLATFORM),
        ]),
    blocks(technician),
    ...seasonBlocks(technician),
    ...(technician.notes === '' ? [] : [element('h2', {}, 'Notes of the visit'), worded('p', technician.notes)]),
    element('div', { class: 'cautions' }, ...technician.cautions.map((text) => element('p', {}, text))),
    foot(report, 'Technician sheet'),
  );
  if (openNotes.length === 0) return [sheet];
  const open = element(
    'section',
    { class: 'page sheet' },
    head('Still open, note by note', report),
    ...openNotes.map(card),
    foot(report, 'Still open'),
  );
  return [sheet, open];
}

function head(title: string, { piano, day }: Report): PictureNode {
  return element(
    'header',
    {},
    hammerMark(),
    element('strong', {}, title),
    element('span', { class: 'second' }, ...drawnWords(`${piano} \u00b7 ${day}`)),
  );
}

const cell = (words: string) => worded('td', words);
const column = (words: string) => element('th', { scope: 'col' }, words);

function table(title: string, head: readonly string[], bodies: readonly PictureNode[]): PictureNode {
  const top = element('thead', {}, element('tr', {}, ...head.map(column)));
  // On a narrow screen it scrolls, and by the keys too.
  const scroll = { class: 'scroll', role: 'region', tabIndex: 0, 'aria-label': title };
  return element('div', scroll, element('table', {}, top, ...bodies));
}

function workedTable(rows: readonly WorkedRow[]): PictureNode[] {
  if (rows.length === 0) return [];
  const bodies = rows.map(({ midi, measured, outcome, turned }) =>
    element(
      'tbody',
      {},
      ...measured.map(({ finding, before, after, change }, i) =>
        element(
          'tr',
          {},
          i === 0 ? element('th', { scope: 'row' }, stampedNote(midi)) : element('td', {}),
          ...[finding, before, after, change].map(cell),
          i === 0
            ? element(
                'td',
                {},
                element('span', { class: `outcome outcome-${outcome}` }, outcomeMark(outcome), OUTCOME_WORDS[outcome]),
              )
            : element('td', {}),
          cell(i === 0 ? turned : ''),
        ),
      ),
    ),
  );
  return [
    table(
      'Notes worked',
      ['Note', 'Finding', 'Before (n)', 'After (n)', 'After to before (19 in 20)', 'Result', 'Turned'],
      bodies,
    ),
  ];
}

function uprightTable({ measured, measuredHead }: TechnicianSheet): PictureNode[] {
  if (measured.length === 0) return [];
  const bodies = measured.map(([midi, ...figures]) =>
    element('tbody', {}, element('tr', {}, element('th', { scope: 'row' }, stampedNote(midi)), ...figures.map(cell))),
  );
  return [table('Measured', ['Note', ...measuredHead], bodies)];
}

function blocks(sheet: TechnicianSheet): PictureNode {
  const gauges = sheet.gauges.map(([midi, kind, before, after]) =>
    element('tr', {}, element('th', { scope: 'row' }, stampedNote(midi)), ...[kind, before, after].map(cell)),
  );
  return element(
    'div',
    { class: 'blocks' },
    ...pairs('Set on this piano', sheet.set),
    ...lines('Look again after this work', sheet.lookAgain),
    ...pairs('Still open', sheet.stillOpen),
    ...(gauges.length === 0
      ? []
      : [
          block(
            'Read with a gauge',
            table('Read with a gauge', ['Note', 'What', 'Before', 'After'], [element('tbody', {}, ...gauges)]),
          ),
        ]),
    ...pairs('Before the first round', sheet.readiness, sheet.readinessOpen),
    ...pairs('Hours', sheet.hours),
  );
}

function seasonBlocks({ seasons }: TechnicianSheet): PictureNode[] {
  if (seasons === null) return [];
  return [
    element('h2', {}, 'Earlier visits'),
    worded('p', seasons.lead),
    element(
      'div',
      { class: 'blocks' },
      ...pairs('Visits, as they were left', seasons.visits),
      ...pairs('What became of notes', seasons.stories),
    ),
    ...seasons.words.map((words) => worded('p', words, 'second')),
  ];
}

function block(title: string, ...inner: readonly PictureNode[]): PictureNode {
  return element('section', { class: 'block' }, element('h2', {}, title), ...inner);
}

function pairs(title: string, rows: readonly Pair[], below: string | null = null): PictureNode[] {
  if (rows.length === 0) return [];
  const inner = rows.flatMap(([name, value]) => [worded('dt', name), worded('dd', value)]);
  return [
    block(
      title,
      element('dl', { class: 'pairs' }, ...inner),
      ...(below === null ? [] : [worded('p', below, 'second')]),
    ),
  ];
}

function lines(title: string, items: readonly string[]): PictureNode[] {
  if (items.length === 0) return [];
  return [block(title, element('ul', { class: 'lines' }, ...items.map((item) => worded('li', item))))];
}

function card({ midi, verdict, line, evidence, next }: OpenNote): PictureNode {
  return element(
    'article',
    { class: 'card' },
    element('h3', {}, stampedNote(midi), verdictMark(verdict), VERDICT_WORDS[verdict]),
    worded('p', line),
    element('ul', {}, ...evidence.map((sentence) => worded('li', sentence))),
    ...(next.length === 0
      ? []
      : [
          element('p', { class: 'second' }, 'Look at first:'),
          element('ol', {}, ...next.map((sentence) => worded('li', sentence))),
        ]),
  );
}
