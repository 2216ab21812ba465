/** The owner's page: one sheet of A4 that suffices by itself. */

import { chartElement } from '../pictures/chart.ts';
import { platformLine, PRINT_PLATFORM, type LineMark } from '../pictures/compass/platformLine.ts';
import { element, type PictureNode } from '../pictures/element.ts';
import { drawnWords, worded } from './markup.ts';
import type { Report, VerdictCount } from './model.ts';
import { COUNTED_AS, hammerMark, verdictMark } from './verdicts.ts';

/** Lower than on the sheet: two of them, and all the words, stand on one page. */
const OWNER_PLATFORM = { ...PRINT_PLATFORM, width: 670, height: 82 };

/** The page as a tree. */
export function ownerPage(report: Report): PictureNode {
  const { headline, lead, counts, uprightWhy, lines, said, trust, circumstances } = report;
  return element(
    'section',
    { class: 'page owner' },
    element(
      'header',
      {},
      hammerMark(),
      element('strong', {}, 'Evenfall report'),
      element('span', { class: 'second' }, circumstances.join(' \u00b7 ')),
    ),
    worded('h1', headline),
    worded('p', lead, 'lead'),
    ...(uprightWhy === null ? [] : [element('p', {}, uprightWhy)]),
    ...(counts === null ? [] : [element('ul', { class: 'counts' }, ...counts.map(countItem))]),
    ...lines.flatMap(({ title, marks }) => [worded('h2', title), lineChart(marks, OWNER_PLATFORM)]),
    ...(lines.length === 0 ? [] : [legend(lines, uprightWhy === null)]),
    ...said.flatMap(({ title, sentences }) => [
      element('h2', {}, title),
      element('p', {}, ...drawnWords(sentences.join(' '))),
    ]),
    element('p', { class: 'trust' }, ...drawnWords(`How far to trust this: ${trust.join(' ')}`)),
    foot(report, 'For the owner'),
  );
}

function countItem({ verdict, now, before, names }: VerdictCount): PictureNode {
  return element(
    'li',
    {},
    element('b', {}, verdictMark(verdict), String(now)),
    element('span', {}, ...drawnWords(`${COUNTED_AS[verdict]}${names === '' ? '' : `: ${names}`}`)),
    ...(before === null ? [] : [element('span', {}, `${before} before`)]),
  );
}

/** The line of all notes, with its one sentence for those who do not see it. */
export function lineChart(marks: readonly LineMark[], sizes: typeof PRINT_PLATFORM): PictureNode {
  return element('div', { class: 'chart' }, chartElement(platformLine({ notes: marks }, sizes)));
}

/** How the marks are read: only those that stand on the lines. */
function legend(lines: Report['lines'], grand: boolean): PictureNode {
  const all = lines.flatMap(({ marks }) => marks);
  const has = (what: 'silent' | 'weak' | 'double') => all.some(({ repeats }) => (repeats?.[what] ?? 0) > 0);
  const block = (d: string) => element('svg', { viewBox: '0 0 14 11', 'aria-hidden': 'true' }, element('path', { d }));
  const items = [
    ...(has('silent') ? [[block('M0 0h14v11H0z'), 'quick repeat that did not speak'] as const] : []),
    ...(has('weak') ? [[block('M0 5h14v5H0z'), 'spoke weakly'] as const] : []),
    ...(has('double')
      ? [[block('M1 6a3 3 0 0 1 6 0a3 3 0 0 1-6 0zM8 6a3 3 0 0 1 6 0a3 3 0 0 1-6 0z'), 'struck twice'] as const]
      : []),
  ];
  return element(
    'ul',
    { class: 'legend' },
    ...items.map(([mark, words]) => element('li', {}, mark, words)),
    element('li', {}, `under the line: soft strokes, and how evenly ${grand ? 'the hammer waits' : 'the note starts'}`),
  );
}

/** The foot of a sheet. */
export function foot({ piano, day }: Report, which: string): PictureNode {
  return element('footer', {}, element('span', {}, ...drawnWords(footWords(piano, day))), element('span', {}, which));
}

/** "Made with Evenfall · Aldervane 274, Quillwater Hall · 18 May 2026". */
export function footWords(piano: string, day: string): string {
  return `Made with Evenfall \u00b7 ${piano} \u00b7 ${day}`;
}
