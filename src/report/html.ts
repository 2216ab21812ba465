/** The report as one file of HTML that asks for nothing: style, pictures and fonts stand in it. */

import { element, type PictureNode } from '../pictures/element.ts';
import { escapedHtml, htmlText, withTexts } from './markup.ts';
import { reportOf, type Report } from './model.ts';
import { footWords, ownerPage } from './ownerPage.ts';
import { pageRules, reportRules } from './style.ts';
import { technicianPages } from './technicianPages.ts';
import type { ReportedVisit } from './visit.ts';

/** A font to stand in the file, as the address of its data (`data:font/woff2;base64,...`). */
export interface ReportFont {
  readonly use: 'text' | 'stamp';
  readonly data: string;
}

/**
 * All pages as one tree: what the file holds, and what the app shows.
 * @param root - the element around them; where the page has its own `main`, another one
 */
export function reportTree(report: Report, root: 'main' | 'article' = 'main'): PictureNode {
  return element(root, { class: 'report' }, ownerPage(report), ...technicianPages(report));
}

/**
 * The whole file.
 * @param fonts - put into it where given; else the reader's own fonts are taken
 * @param inUnit - puts the lengths of a text into another unit; they stand in millimetres else
 * @throws RangeError for a font that is no data of its own.
 */
export function reportHtml(
  reported: ReportedVisit,
  fonts: readonly ReportFont[] = [],
  inUnit: (text: string) => string = (text) => text,
): string {
  const report = reportOf(reported);
  const { piano, day } = report;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:">
<meta name="generator" content="Evenfall">
<title>${escapedHtml(`Evenfall report: ${piano}, ${day}`)}</title>
<style>
${fonts.map(fontRule).join('')}html{background:#f3f4f6}
body{margin:0;padding:24px 0}
@media print{html{background:#fff}body{padding:0}}
${pageRules(footWords(piano, day))}
${reportRules()}
@media print{.report footer{display:none}}
</style>
</head>
<body>
${htmlText(withTexts(reportTree(report), inUnit))}
</body>
</html>
`;
}

const FONT_DATA = /^data:font\/woff2;base64,[A-Za-z0-9+/]+=*$/;
const FALLBACKS = { text: 'system-ui,sans-serif', stamp: 'Rockwell,Georgia,serif' } as const;

function fontRule({ use, data }: ReportFont): string {
  if (!FONT_DATA.test(data))
    throw new RangeError(`a font that begins "${data.slice(0, 30)}"; expected data:font/woff2;base64,...`);
  return (
    `@font-face{font-family:evenfall-${use};font-weight:100 900;src:url(${data}) format("woff2")}\n` +
    `:root{--${use}:evenfall-${use},${FALLBACKS[use]}}\n`
  );
}
