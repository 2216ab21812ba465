/** Pages of real analyses of practice takes: marks where the truth has them, and as a browser draws them. */

import { readFileSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument, Finding, NoteResult } from '../../src/analysis/document.ts';
import { drawn, ROOM, STAGE, COLOURS } from '../../src/pictures/colours.ts';
import { element, svgText, type PictureNode } from '../../src/pictures/element.ts';
import type { FirmHand } from '../../src/pictures/firmBand.ts';
import type { Stroke } from '../../src/pictures/heard.ts';
import { noteCharts, notePage, svgFile, type NotePageInput } from '../../src/pictures/notePage.ts';
import { slowChart } from '../../src/pictures/slowStrokes.ts';
import { soundRows } from '../../src/pictures/stretches.ts';
import { waveformChart } from '../../src/pictures/waveform.ts';
import { makePractice, type Practice } from '../../src/synthesis/practice.ts';
import { startBrowser } from '../app/browser.ts';
import { all, lines, silent, stroke, strokeMarks, texts, travelled } from './strokes.ts';

const WIDTH = 700;
let practice: Practice;
let analysis: AnalysisDocument;
let browser: Browser;

beforeAll(async () => {
  practice = makePractice(
    {
      variant: 'judging',
      sampleRate: 24000,
      notes: [
        {
          midi: 51,
          passages: [
            { kind: 'slow', strokes: 8 },
            { kind: 'fast', strokes: 12 },
            { kind: 'fast', strokes: 12 },
          ],
          faults: [{ name: 'missed-repeats', size: 0.3 }],
        },
        {
          midi: 69,
          passages: [
            { kind: 'slow', strokes: 8 },
            { kind: 'fast', strokes: 24, ratePerSecond: 8 },
          ],
        },
      ],
    },
    11,
  );
  const { samples, sampleRate, truth } = practice;
  const source = { file: 'a <take> & "more".wav', sampleRate, channels: 1, durationSeconds: truth.durationSeconds };
  analysis = analyse(samples, source);
  browser = await startBrowser();
}, 120_000);
afterAll(() => browser?.close());

/** The strokes of the analysis with the contacts of the truth, some faint, some in two places. */
function withContacts(): Stroke[] {
  return analysis.strokes.map((heard, i): Stroke => {
    const real = practice.truth.strokes.find(
      (s) => s.kind === 'sounded' && s.midi === heard.midi && Math.abs(s.timeSeconds - heard.timeSeconds) < 0.02,
    );
    if (heard.onsetSeconds === null || !real?.contactAudible) {
      const absent = { ...heard.absent, contact: 'none-heard' as const };
      return { ...heard, contactSeconds: null, otherContactSeconds: null, contactConfidence: null, absent };
    }
    return {
      ...heard,
      contactSeconds: real.contactSeconds,
      contactConfidence: i % 7 === 5 ? 0.3 : 0.9,
      otherContactSeconds: i % 9 === 3 ? real.contactSeconds! + 0.009 : null,
      force: i % 11 === 4 ? 'weak' : 'usual',
    };
  });
}

const pageOf = (note: NoteResult, strokes: readonly Stroke[] = analysis.strokes): NotePageInput => ({
  note,
  strokes,
  files: [analysis.source.file],
  sounds: [practice],
});

describe('the waveform', () => {
  it('has a mark where the truth has a stroke, and a tick where it has the contact', () => {
    expect(analysis.notes.map(({ name }) => name)).toEqual(['D#3', 'A4']);
    for (const { midi } of analysis.notes) {
      const own = withContacts().filter((s) => s.midi === midi);
      const real = practice.truth.strokes.filter((s) => s.midi === midi && s.kind === 'sounded');
      const { rows, rowSeconds } = soundRows(own, [practice], WIDTH);
      const chart = waveformChart(midi, own, [practice], WIDTH)!;
      expect(chart.marks).toHaveLength(rows.length);
      const scale = WIDTH / rowSeconds;
      let found = 0;
      let contacts = 0;
      rows.forEach(({ from, to }, row) => {
        const marks = strokeMarks([chart.marks[row]]).filter(({ shape }) => shape !== 'silent');
        const ticks = lines([chart.marks[row]], 2).map(({ x1 }) => x1);
        for (const { onsetSeconds, contactSeconds } of real.filter(
          (s) => s.timeSeconds >= from && s.timeSeconds < to,
        )) {
          // The zero of a note is known to 2 ms; numbers in a picture are rounded to hundredths.
          const near = (place: number, seconds: number, within: number) =>
            Math.abs(place - (seconds - from) * scale) <= within * scale + 0.02;
          if (marks.some(({ x }) => near(x, onsetSeconds!, 0.002))) found++;
          if (ticks.some((x) => near(x, contactSeconds!, 1e-6))) contacts++;
        }
      });
      expect(found).toBeGreaterThanOrEqual(real.length - 1);
      expect(found).toBeGreaterThan(15);
      expect(contacts).toBe(own.filter(({ contactSeconds }) => contactSeconds !== null).length);
      const crosses = strokeMarks(chart.marks).filter(({ shape }) => shape === 'silent');
      expect(crosses).toHaveLength(own.filter(({ kind }) => kind === 'silent').length);
    }
  });

  it('has the sound under the strokes: its loudest columns come just after an onset', () => {
    const [note] = analysis.notes;
    const own = analysis.strokes.filter((s) => s.midi === note.midi && s.passage === 'slow').slice(0, 3);
    const { rows, rowSeconds } = soundRows(own, [practice], WIDTH);
    const scale = WIDTH / rowSeconds;
    const wave = all(waveformChart(note.midi, own, [practice], WIDTH)!.marks)
      .map(({ attributes }) => String(attributes.d))
      .find((d) => d.length > 1000)!;
    const columns = [...wave.matchAll(/M (\S+) (\S+) V (\S+)/g)].map(([, x, high, low]) => ({
      x: Number(x),
      tall: Number(low) - Number(high),
    }));
    const half = Math.max(...columns.map(({ tall }) => tall)) / 2;
    const first = columns.find(({ tall }) => tall > half)!;
    const onset = (own[0].onsetSeconds! - rows[0].from) * scale;
    expect(columns.length).toBeGreaterThan(200);
    expect(first.x).toBeGreaterThanOrEqual(onset - 1);
    expect(first.x).toBeLessThanOrEqual(onset + 0.1 * scale);
  });
});

describe('the slow strokes', () => {
  it('have their ticks at the true travel times', () => {
    const own = withContacts().filter((s) => s.midi === 51);
    const chart = slowChart(51, own, WIDTH)!;
    const tone = lines(chart.marks, 2)[0].x1;
    const [label] = all(chart.marks).filter(
      ({ tag, children }) => tag === 'text' && /^\u2212\d+$/.test(String(children[0])),
    );
    const perMs = (tone - Number(label.attributes.x)) / Number(String(label.children[0]).slice(1));
    const drawn = lines(chart.marks, 3.2).map(({ x1 }) => (tone - x1) / perMs);
    const truths = practice.truth.strokes.filter((s) => s.midi === 51 && s.passage === 'slow' && s.contactAudible);
    expect(drawn.length).toBeGreaterThan(2);
    for (const ms of drawn) {
      const misses = truths.map((s) => Math.abs(1000 * (s.onsetSeconds! - s.contactSeconds!) - ms));
      expect(Math.min(...misses)).toBeLessThan(2);
    }
  });
});

describe('the page', () => {
  it('has the four charts in their order, each with its sentence', () => {
    const charts = noteCharts(pageOf(analysis.notes[0], withContacts()), 350);
    expect(charts.map(({ title }) => title)).toEqual([
      'The sound',
      'Fast strokes',
      'Slow strokes',
      'Loudness and travel',
    ]);
    for (const { result } of charts) expect(result).toMatch(/\d .*D sharp 3.*\.$/);
  });

  it('leaves out what was not played or is not at hand', () => {
    const slow = analysis.strokes.filter((s) => s.passage === 'slow');
    const input = { ...pageOf(analysis.notes[0], slow), sounds: [null] };
    expect(noteCharts(input, 350).map(({ title }) => title)).toEqual(['Slow strokes', 'Loudness and travel']);
    expect(svgText(notePage(pageOf(analysis.notes[0], []), 390))).toContain('No strokes of this note to draw.');
    expect(() => notePage(pageOf(analysis.notes[0]), 200)).toThrow(/at least 320/);
  });

  it('has the gentle strokes, the band of the hand and the returns that were asked for, where they are known', () => {
    const soft = [1, 2, 3].map((i) => stroke(20 + i, { midi: 51, passage: 'gentle', levelDb: -40 - i }));
    const even = [1, 2, 3, 4, 5, 6, 7].map((i) => travelled(i, i === 7 ? 70 : 50, { midi: 51 }));
    const fast = [1, 2, 3].map((i) => stroke(10 + i / 6, { midi: 51, passage: 'fast' }));
    const finding: Finding = { kind: 'wandering-rest', size: 3, unit: 'ratio', interval: [2, 4], n: 7 };
    const EMBER = drawn('ember');
    const input = {
      ...pageOf(analysis.notes[0], [...even, ...fast, ...soft]),
      note: { midi: 51, verdict: 'unstable' as const, findings: [finding] },
    };
    const plain = noteCharts(input, 350);
    expect(plain.map(({ title }) => title)).toEqual([
      'The sound',
      'Fast strokes',
      'Gentle strokes',
      'Slow strokes',
      'Loudness and travel',
    ]);
    expect(plain.map(({ result }) => result).join(' ')).not.toContain('firm note');
    const hand: FirmHand = { scalePercent: 4, slopePerDb: -0.06, referenceDb: -20, reference: 'this-round' };
    const [, quick, , slow, travel] = noteCharts({ ...input, hand, askedOf: () => 'full-return' }, 350);
    expect(texts(quick.marks).map(({ words }) => words)).toContain('right up');
    expect(slow.result).toContain('1 of the clear ones lies outside where a firm note');
    expect(svgText(element('g', {}, ...slow.marks))).toContain(EMBER);
    expect(travel.below.join(' ')).toContain('diamond: outside');
    const watched = { ...input, hand, note: { ...input.note, verdict: 'watch' as const } };
    const calm = noteCharts(watched, 350).find(({ title }) => title === 'Slow strokes')!;
    expect(svgText(element('g', {}, ...calm.marks))).not.toContain(EMBER);
  });

  it('has the colours of the page, light and dark', () => {
    const sheet = readFileSync(new URL('../../src/app/tokens.css', import.meta.url), 'utf8');
    const [dark, light] = sheet.split('@media (prefers-color-scheme: light)');
    for (const colour of COLOURS) {
      expect(new RegExp(`--${colour}: (#\\w+);`).exec(dark)?.[1]).toBe(STAGE[colour]);
      expect(new RegExp(`--${colour}: (#\\w+);`).exec(light)?.[1]).toBe(ROOM[colour]);
    }
  });
});

/** What a browser makes of a file: faults of its XML, images without a name, texts outside or over each other. */
async function seen(picture: PictureNode, width: number, colorScheme: 'light' | 'dark') {
  const context = await browser.newContext({ viewport: { width, height: 800 }, colorScheme });
  const page = await context.newPage();
  const text = svgFile(picture);
  const fault = await page.evaluate(
    (whole) =>
      new DOMParser().parseFromString(whole, 'image/svg+xml').querySelector('parsererror')?.textContent ?? null,
    text,
  );
  await page.setContent(`<body style="margin:0">${text.replace(/^<\?xml.*\?>/, '')}</body>`);
  const rest = await page.evaluate(() => {
    const boxes = [...document.querySelectorAll('svg text')].map((node) => ({
      words: node.textContent ?? '',
      box: node.getBoundingClientRect(),
    }));
    const over = boxes.flatMap((a, i) =>
      boxes.slice(i + 1).flatMap((b) => {
        const [x, y] = [
          Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left),
          Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top),
        ];
        // A line box is taller than its letters.
        return x > 1 && y > 5 ? [`${a.words} | ${b.words}`] : [];
      }),
    );
    const frames = [...document.querySelectorAll('svg rect')].map((node) => ({
      words: 'frame',
      box: node.getBoundingClientRect(),
    }));
    const outside = [...boxes, ...frames]
      .filter(({ box }) => box.left < 0 || box.right > innerWidth + 0.01)
      .map(({ words }) => words);
    const images = [...document.querySelectorAll('svg svg[role=img]')];
    const nameless = images.filter(
      (image) =>
        !image.querySelector(':scope > title')?.textContent || !image.querySelector(':scope > desc')?.textContent,
    );
    const ground = getComputedStyle(document.querySelector('svg > rect')!).fill;
    return { over, outside, images: images.length, nameless: nameless.length, ground };
  });
  await context.close();
  return { fault, ...rest };
}

describe('in a browser', () => {
  it.each([
    [320, 'light', 'rgb(243, 244, 246)'],
    [390, 'dark', 'rgb(15, 18, 25)'],
    [800, 'light', 'rgb(243, 244, 246)'],
  ] as const)('stands %i wide, %s, without a text over another or outside', async (width, scheme, ground) => {
    for (const heard of analysis.notes) {
      const note = { ...heard, verdict: 'insufficient' as const };
      for (const strokes of [analysis.strokes, withContacts()]) {
        const { images, ...rest } = await seen(notePage(pageOf(note, strokes), width), width, scheme);
        expect(rest).toEqual({ fault: null, over: [], outside: [], nameless: 0, ground });
        expect(images).toBe(4);
      }
    }
  });

  it.each([
    ['no stroke', []],
    ['one slow stroke', [travelled(1, 50)]],
    ['two slow strokes', [travelled(1, 50), stroke(2.2)]],
    ['one fast stroke', [stroke(1, { passage: 'fast' })]],
    ['a silent stroke', [silent(1, { passage: 'fast' })]],
    ['strokes without a level', [stroke(1, { levelDb: null }), travelled(2, 40, { levelDb: null, passage: null })]],
  ])('stands with %s', async (_, strokes) => {
    const input: NotePageInput = {
      note: { midi: 60, verdict: 'unstable' },
      strokes,
      files: ['\u0001<&>'.repeat(40)],
      sounds: [{ samples: new Float32Array(8000 * 3), sampleRate: 8000 }],
    };
    const { fault, over, outside, nameless } = await seen(notePage(input, 390), 390, 'light');
    expect({ fault, over, outside, nameless }).toEqual({ fault: null, over: [], outside: [], nameless: 0 });
  });
});
