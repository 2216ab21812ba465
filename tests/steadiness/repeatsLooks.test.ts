/** Which strokes decide at which look, and what stays open, clear or doubtful. */

import { describe, expect, it } from 'vitest';
import { judgeRepeats } from '../../src/steadiness/repeats/judgeRepeats.ts';
import { REFERENCE_SCHEMA, type HandReference } from '../../src/steadiness/reference.ts';
import { cleanNotes, notePlay, type Look } from './repeatPlay.ts';

const CLEAN = '............';
const FRESH: Look = [CLEAN, CLEAN, `8:${CLEAN}`];
const STORED: HandReference = {
  schema: REFERENCE_SCHEMA,
  analysisVersion: '0.0.0',
  scale: 0.042,
  logError: 0.05,
  slopePerDb: -0.062,
  slopeError: 0.003,
  slipRate: 0.03,
  touch: 'finger',
  referenceTravel: 0.085,
  referenceDb: -20,
  baseRates: { steady: { silent: 0.01, faint: 0.02 }, quick: { silent: 0.01, faint: 0.02 }, doubles: 0.003, notes: 20 },
  notes: 20,
  sources: [],
};

/** Neighbours, most clean, some with strokes a little under, so that keys were let up neither too far nor too little. */
const AROUND = [
  ...cleanNotes(20),
  ...cleanNotes(10, '.ll......l..').map((note) => ({ ...note, midi: note.midi + 20 })),
];

/** Evidence on note 100 among those. */
function judgedNote(looks: readonly Look[], around = AROUND, reference: HandReference | null = null) {
  const all = judgeRepeats([...around, notePlay(100, looks)], reference);
  return { ...all, note: all.notes.get(100)! };
}

describe('looks', () => {
  it('decide at the first on many failures, with what failed', () => {
    const { note, gauge } = judgedNote([['.s.ss.s.w.s.']]);
    expect(gauge).toBe('right');
    expect(note).toMatchObject({
      decides: true,
      decidedAt: 1,
      open: false,
      clear: false,
      doubtful: false,
      n: 11,
      failed: 6,
    });
    expect(note.findings.map(({ kind, n }) => [kind, n])).toEqual([
      ['missed-repeats', 11],
      ['weak-repeats', 11],
    ]);
    expect(note.probability).toBeGreaterThan(0.99);
    expect(note.fastNeeded).toBe(0);
  });

  it('leave a note with a failure open, and judge fresh strokes alone then', () => {
    const first: Look = ['.s.s..s.....'];
    const look1 = judgedNote([first]).note;
    expect(look1).toMatchObject({ decides: false, open: true, fastNeeded: 36 });
    const clean = judgedNote([first, FRESH]).note;
    expect(clean).toMatchObject({ decides: false, open: false, clear: true, doubtful: false, n: 33, failed: 0 });
    expect(clean.pattern).toBeNull();
    // What would be enough with the first look's failures is not without them.
    const some = judgedNote([first, ['.s..........', '.....s......', `8:${CLEAN}`]]).note;
    expect(some).toMatchObject({ decides: false, open: true, n: 33, failed: 2 });
    const many = judgedNote([first, ['.s.s.s......', '..s..s...s..', `8:..s......s..`]]).note;
    expect(many).toMatchObject({ decides: true, decidedAt: 2, n: 33, failed: 8 });
  });

  it('add fresh strokes up to the third', () => {
    const first: Look = ['.s..........'];
    const fresh: Look = ['.s...s......', '..s.........', `8:${CLEAN}`];
    const second = judgedNote([first, fresh]).note;
    expect(second).toMatchObject({ decides: false, failed: 3 });
    const third = judgedNote([first, fresh, ['.s...s.....s', '..s.....s...', '8:..s.........']]).note;
    expect(third).toMatchObject({ decides: true, decidedAt: 3, n: 66, failed: 9 });
  });

  it('freeze what was decided: clean strokes after it change nothing', () => {
    const first: Look = ['.s.sssss....'];
    const before = judgedNote([first]).note;
    const after = judgedNote([first, FRESH, FRESH]).note;
    expect(after).toMatchObject({ decides: true, decidedAt: 1, n: before.n, failed: before.failed });
    expect(after.findings).toEqual(before.findings);
    expect(after.pattern).toBe(before.pattern);
  });

  it('tell clear, open and doubtful', () => {
    expect(judgedNote([[CLEAN]]).note).toMatchObject({ clear: true, open: false, doubtful: false, fastNeeded: 0 });
    expect(judgedNote([['.l..l.......']]).note).toMatchObject({ clear: true, open: false });
    expect(judgedNote([['.w..........']]).note).toMatchObject({ open: true, doubtful: false });
    expect(judgedNote([['.s..s...s...']]).note).toMatchObject({ open: true, doubtful: true, clear: false });
    const unplayed = judgedNote([[]]).note;
    expect(unplayed).toMatchObject({ clear: false, open: false, n: 0, fastNeeded: 12, pattern: null });
  });

  it('decide after two failures behind damped gaps, three at the quicker rate', () => {
    expect(judgedNote([['..O....O....']]).note).toMatchObject({ decides: true, decidedAt: 1, pattern: 'after-damped' });
    expect(judgedNote([['..O....o....']]).note).toMatchObject({ decides: false, open: true, clear: false });
    expect(judgedNote([['8:..O....O....']]).note).toMatchObject({ decides: false, doubtful: true });
    expect(judgedNote([['8:..O.O..O....']]).note.decides).toBe(true);
  });

  it('decide on doubles by their own base rate', () => {
    const { note } = judgedNote([['.d.d.d.d....']]);
    expect(note).toMatchObject({ decides: true, n: 11, failed: 0 });
    expect(note.findings.map(({ kind }) => kind)).toEqual(['double-strikes']);
    expect(judgedNote([['.d..........']]).note.decides).toBe(false);
  });

  it('one stroke with three contacts does not spoil the base rate of all', () => {
    const struck = notePlay(99, [['.d..........']]);
    const [look] = struck.looks;
    const twice = look.find(({ kind }) => kind === 'double')!;
    // Forty contacts after one stroke: another noise, taken for them.
    const noise = Array.from({ length: 40 }, (_, i) => ({ ...twice, timeSeconds: twice.timeSeconds + i / 1000 }));
    const at = look.indexOf(twice);
    const noisy = { ...struck, looks: [[...look.slice(0, at), ...noise, ...look.slice(at + 1)]] };
    const plain = judgeRepeats([...AROUND, struck], null);
    expect(judgeRepeats([...AROUND, noisy], null).base).toEqual(plain.base);
  });
});

describe('base rates and gauge', () => {
  it('decide nothing below twelve notes, with a stored reference they do', () => {
    const few = AROUND.slice(0, 10);
    const failing: Look[] = [['.s.ssss.s.s.']];
    const none = judgedNote(failing, few);
    expect(none).toMatchObject({ reference: 'none', base: null, expectedFalse: 0, gauge: 'right' });
    expect(none.note).toMatchObject({ decides: false, couldHaveShown: null });
    const stored = judgedNote(failing, few, STORED);
    expect(stored).toMatchObject({ reference: 'stored', base: STORED.baseRates });
    expect(stored.note.decides).toBe(true);
    expect(stored.expectedFalse).toBeGreaterThan(0);
    const alone = judgedNote(failing, [], STORED);
    expect(alone.note.decides).toBe(true);
    expect(alone.gauge).toBe('unknown');
    const own = judgedNote(failing, AROUND.slice(0, 11), STORED);
    expect(own.reference).toBe('this-round');
    expect(judgedNote(failing, few, { ...STORED, baseRates: null }).reference).toBe('none');
  });

  it('says let up more, and decides no series, where the notes in order fail', () => {
    const around = Array.from({ length: 30 }, (_, i) =>
      notePlay(30 + i, [[i % 2 ? '.w...w......' : '....w...w...']], 50 + i),
    );
    const { gauge, note } = judgedNote([['.wwwwwwwwwww']], around);
    expect(gauge).toBe('let-up-more');
    expect(note).toMatchObject({ decides: false, couldHaveShown: null });
    // Damped gaps and doubles need no hand that lets up right.
    expect(judgedNote([['..O....O....']], around).note.decides).toBe(true);
    expect(judgedNote([['.d.d.d.d.d..']], around).note.decides).toBe(true);
  });

  it('says let up less where hardly a stroke was weak, and calls nothing clear', () => {
    const { gauge, notes } = judgeRepeats(cleanNotes(30), null);
    expect(gauge).toBe('let-up-less');
    expect([...notes.values()].some(({ clear }) => clear)).toBe(false);
    // A note that was found shows that repeats were tested.
    const found = judgedNote([['.s.ssss.s.s.']], cleanNotes(30));
    expect(found.gauge).toBe('right');
    expect(found.notes.get(30)!.clear).toBe(true);
  });

  it('is unknown with few strokes', () => {
    expect(judgeRepeats(cleanNotes(5), STORED).gauge).toBe('unknown');
    expect(judgeRepeats([], null)).toMatchObject({ reference: 'none', gauge: 'unknown', expectedFalse: 0 });
  });

  it('could have shown less with fewer strokes, and says so', () => {
    const shown = (text: string) => judgedNote([[text]]).note.couldHaveShown;
    const [twelve, eight, six] = [shown(CLEAN)!, shown('........')!, shown('......')!];
    expect(twelve).toBeLessThan(eight);
    expect(eight).toBeLessThan(six);
    expect(twelve).toBeGreaterThan(0.3);
    // One repeat reaches no limit, however it fails.
    expect(shown('..')).toBeNull();
    expect(judgedNote([[CLEAN], FRESH]).note.couldHaveShown!).toBeLessThan(twelve);
  });

  it('counts on false decisions that grow with notes and looks', () => {
    const one = judgeRepeats(AROUND, null).expectedFalse;
    const looks = AROUND.map(({ midi }, i) => notePlay(midi, [[i < 20 ? CLEAN : '.ll......l..'], FRESH], 10 * i + 1));
    expect(one).toBeGreaterThan(0);
    expect(judgeRepeats(looks, null).expectedFalse).toBeGreaterThan(one);
    // Levels of the first look: five series at most, and the damped gaps.
    expect(one).toBeLessThan(AROUND.length * (5 * 0.0005 + 0.0005));
  });
});
