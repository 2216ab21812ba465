import { describe, expect, it } from 'vitest';
import { escapedHtml } from '../../src/report/markup.ts';
import { reportHtml } from '../../src/report/html.ts';
import { cssText } from '../../src/report/style.ts';
import { madeVisit } from './madeVisit.ts';
import { smallVisit } from './visits.ts';

const HOSTILE = `<script>alert(1)</script>"'&\u0000\\</style>*/}@import url(//x.test)`;

describe('the report as a file', () => {
  it('asks for nothing from outside', () => {
    const html = reportHtml(smallVisit());
    expect(html).not.toMatch(/<(script|link|img|iframe|object|embed)\b/i);
    expect(html).not.toMatch(/url\(|@import|\bsrc=|\bhref=/i);
    expect(html.match(/https?:\/\/[^"]+/g)!.every((address) => address === 'http://www.w3.org/2000/svg')).toBe(true);
    expect(html.length).toBeLessThan(300_000);
  });

  it('escapes whatever people typed, wherever it stands', () => {
    const made = madeVisit(
      [{ midi: 50, verdicts: ['unstable'], turned: { what: 'other', words: HOSTILE } }],
      {},
      { name: HOSTILE, place: HOSTILE },
    );
    const visit = { ...made.visit, notes: HOSTILE, microphonePlace: HOSTILE, player: HOSTILE, newParts: HOSTILE };
    const html = reportHtml({ ...made, visit });
    expect(html).not.toContain('<script');
    expect(html.match(/<\/style>/g)).toHaveLength(1);
    expect(html).not.toContain('\u0000');
    const style = html.slice(html.indexOf('<style>'), html.indexOf('</style>'));
    expect(style).not.toContain('@import');
    expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39;&amp;');
  });

  it('is well formed: every element that opens closes, in order', () => {
    const html = reportHtml(smallVisit());
    const body = html.slice(html.indexOf('<body>'), html.indexOf('</html>'));
    const open: string[] = [];
    for (const [, close, tag] of body.matchAll(/<(\/?)([a-z0-9]+)[^>]*>/gi)) {
      if (close) expect(open.pop()).toBe(tag);
      else open.push(tag);
    }
    expect(open).toEqual([]);
  });

  it('takes fonts as data alone', () => {
    const html = reportHtml(madeVisit([]), [{ use: 'text', data: 'data:font/woff2;base64,AAAA' }]);
    expect(html).toContain('font-family:evenfall-text');
    expect(() => reportHtml(madeVisit([]), [{ use: 'text', data: 'https://x.test/a.woff2' }])).toThrow(
      'expected data:font',
    );
  });

  it('puts lengths into another unit where asked, and no attribute with them', () => {
    const inInches = (text: string) => text.replace(/\b1\.6 mm\b/g, '0.063 in');
    const [plain, changed] = [reportHtml(smallVisit()), reportHtml(smallVisit(), [], inInches)];
    expect(plain).toContain('<td>1.6 mm</td>');
    expect(changed).toBe(plain.replace('<td>1.6 mm</td>', '<td>0.063 in</td>'));
  });

  it('draws sharps and says them', () => {
    const html = reportHtml(smallVisit());
    expect(html).toContain('aria-label="A sharp 5"');
    const words = html.slice(html.indexOf('<body>')).replace(/<[^>]*>/g, '|');
    expect(words).not.toMatch(/[A-G]#[0-8]/);
  });
});

describe('escaping', () => {
  it('leaves plain text, and hides every letter that ends something', () => {
    expect(escapedHtml('Aldervane 274, \u00dcberlingen')).toBe('Aldervane 274, \u00dcberlingen');
    expect(escapedHtml('a<b>&"\'')).toBe('a&lt;b&gt;&amp;&quot;&#39;');
    expect(escapedHtml('\u0000\u001b\ud800')).toBe('\ufffd\ufffd\ufffd');
    expect(cssText('a"b\n')).toBe('"a\\22 b\\a "');
  });
});
