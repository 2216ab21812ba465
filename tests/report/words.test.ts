import { describe, expect, it } from 'vitest';
import { reportName, reportOf } from '../../src/report/model.ts';
import { standings } from '../../src/report/standing.ts';
import { UPRIGHT_WHY } from '../../src/piano/uprights.ts';
import { pairsToCompare } from '../../src/report/visit.ts';
import { durationWords, listed, millimetreWords, noteList } from '../../src/report/words.ts';
import { madeVisit, type MadeNote } from './madeVisit.ts';
import { demoVisit, smallVisit } from './visits.ts';

const turned = {};
const steady: MadeNote[] = [40, 41, 42].map((midi) => ({ midi, verdicts: ['steady'] }));
const worked = (
  midi: number,
  change: NonNullable<MadeNote['change']>,
  now: 'steady' | 'unstable' = 'steady',
): MadeNote => ({
  ...{ midi, change, turned },
  verdicts: ['unstable', now],
});

describe('the headline', () => {
  it.each<[string, readonly MadeNote[], string]>([
    ['nothing heard', [], 'Nothing was heard at this visit.'],
    ['one round, all sound', steady, 'No note heard is unstable.'],
    [
      'one round, one to watch',
      [...steady, { midi: 50, verdicts: ['watch'] }],
      'No note heard is unstable. One to watch.',
    ],
    [
      'one round, unstable notes',
      [...steady, { midi: 50, verdicts: ['unstable'] }, { midi: 51, verdicts: ['unstable'] }],
      'Two notes are unstable.',
    ],
    [
      'worked, not heard again',
      [...steady, { midi: 50, verdicts: ['unstable'], turned }],
      'One note worked on. It has not been heard again.',
    ],
    [
      'all improved',
      [worked(50, 'improved'), worked(52, 'improved')],
      'Both worked notes improved. No note is unstable now.',
    ],
    ['one, and improved', [worked(50, 'improved')], 'The worked note improved. No note is unstable now.'],
    [
      'some improved, one still unstable',
      [worked(50, 'improved'), worked(52, 'no-change-shown', 'unstable')],
      'One of two worked notes improved. One is still unstable.',
    ],
    [
      'none improved',
      [worked(50, 'no-change-shown'), worked(52, 'insufficient')],
      'Two notes worked on; no gain could be shown yet. No note is unstable now.',
    ],
    [
      'one better, one worse',
      [worked(50, 'improved'), worked(52, 'worse', 'unstable')],
      'One of two worked notes improved. One became worse. One is still unstable.',
    ],
    ['all worse', [worked(50, 'worse', 'unstable')], 'The worked note became worse. One is still unstable.'],
    [
      'changed though nothing was entered',
      [
        { midi: 50, verdicts: ['unstable', 'steady'], change: 'improved' },
        { midi: 52, verdicts: ['steady', 'unstable'], change: 'worse' },
      ],
      'One note improved, one became worse. One note is unstable.',
    ],
    [
      'heard twice, nothing changed',
      [{ midi: 50, verdicts: ['watch', 'watch'], change: 'no-change-shown' }],
      'No note heard is unstable. One to watch.',
    ],
  ])('%s', (_, notes, headline) => {
    expect(reportOf(madeVisit(notes)).headline).toBe(headline);
  });

  it('tells of an upright what its repeats say, nothing of its rest and of causes, and why, as the screens do', () => {
    const made = madeVisit(
      [...steady, { midi: 50, verdicts: ['unstable'] }, { midi: 52, verdicts: ['unstable'] }],
      {},
      { kind: 'upright' },
    );
    const [round] = made.rounds;
    const flagged = round.summary!.flagged.map((one) =>
      one.midi === 52 ? { ...one, findings: ['wandering-rest'], line: 'Rests in another place each time.' } : one,
    );
    const report = reportOf({ ...made, rounds: [{ ...round, summary: { ...round.summary!, flagged } }] });
    expect(report.headline).toBe('One note is unstable.');
    expect(report.counts!.map(({ verdict, now }) => [verdict, now])).toEqual([
      ['steady', steady.length],
      ['watch', 0],
      ['unstable', 1],
      ['insufficient', 1],
    ]);
    expect(report.uprightWhy).toBe(UPRIGHT_WHY);
    expect(report.technician.footing).toEqual([UPRIGHT_WHY]);
    expect(report.technician.openNotes).toEqual([
      { midi: 50, verdict: 'unstable', line: 'Quick repeats fail.', evidence: ['4 of 24 failed.'], next: [] },
    ]);
    expect(report.technician.stillOpen).toEqual([['D3', 'unstable: missed repeats']]);
    expect(report.said[1].sentences[1]).toMatch(/^No verdict on E3:/);
    expect(report.lines[0].marks.find(({ midi }) => midi === 50)!.verdict).toBe('unstable');
    expect(JSON.stringify(report)).not.toMatch(/Repetition spring: look|another place|[Ww]andering/);
    expect(report.trust.at(-1)).toMatch(/^Only what failed, struck twice or was timed is told here/);
    expect(report.technician.cautions.join(' ')).not.toMatch(/action slides|fallboard/);
    const grand = reportOf({ ...made, piano: { ...made.piano, kind: 'grand' } });
    expect(grand.technician.cautions.join(' ')).toMatch(/fallboard/);
    expect(grand.uprightWhy).toBeNull();
    expect(JSON.stringify(grand)).toContain('Repetition spring: look.');
  });

  it('calls nothing of an upright changed that changed only in how its hammers rest', () => {
    const made = madeVisit([worked(50, 'improved')], {}, { kind: 'upright' });
    const [{ document, ...pair }] = made.compared;
    const notes = document.notes.map((note) => ({
      ...note,
      measures: note.measures.map((measure) => ({ ...measure, kind: 'spread-ratio' as const, ratio: 0.4 })),
    }));
    const only = reportOf({ ...made, compared: [{ ...pair, document: { ...document, notes } }] });
    expect(reportOf(made).technician.worked[0].outcome).toBe('improved');
    expect(only.technician.worked[0].outcome).toBe('no-change-shown');
    expect(JSON.stringify(only)).not.toContain('Wandering');
  });
});

describe('the counts', () => {
  it('add up to the keys heard, now and before', () => {
    for (const reported of [
      demoVisit(),
      madeVisit(steady),
      madeVisit([worked(50, 'improved'), ...steady, { midi: 60, verdicts: [null, 'watch'] }]),
    ]) {
      const { counts } = reportOf(reported);
      const heard = standings(reported).length;
      expect(counts!.reduce((sum, { now }) => sum + now, 0)).toBe(heard);
      if (counts![0].before !== null) expect(counts!.reduce((sum, { before }) => sum + before!, 0)).toBe(heard);
    }
    expect(standings(demoVisit())).toHaveLength(88);
  });

  it('keep what was heard before where a later round of the same state heard too little', () => {
    const notes: MadeNote[] = [
      { midi: 50, verdicts: ['steady', 'insufficient'] },
      { midi: 52, verdicts: ['unstable', 'insufficient'], turned, change: 'no-change-shown' },
    ];
    expect(standings(madeVisit(notes)).map(({ now }) => now.verdict)).toEqual(['steady', 'insufficient']);
  });

  it('take a note that changed as it was heard last, though nobody entered what was turned', () => {
    const notes: MadeNote[] = [{ midi: 50, verdicts: ['unstable', 'insufficient'], change: 'improved' }];
    expect(standings(madeVisit(notes))[0].now.verdict).toBe('insufficient');
  });

  it('call nothing changed where microphone, place or player changed in between, and say so', () => {
    const made = madeVisit([worked(50, 'improved')]);
    const [first, second] = made.rounds;
    const setting = { microphone: null, microphonePlace: 'on the music desk', player: null, referenceId: null };
    const rounds = [first, { ...second, setting }];
    // Not known of both: no reason to call anything off.
    expect(reportOf({ ...made, rounds }).headline).toBe('The worked note improved. No note is unstable now.');
    const report = reportOf({ ...made, rounds, visit: { ...made.visit, microphonePlace: 'on a cloth' } });
    expect(report.headline).toContain('no gain could be shown yet');
    expect(report.said[0].sentences.join(' ')).toContain('the microphone or its place changed in between');
    expect(report.technician.worked[0].outcome).toBe('no-change-shown');
  });
});

describe('the rounds of a visit', () => {
  it('are compared from the last one before the first turn to the last one', () => {
    const visit = madeVisit([
      { midi: 50, verdicts: ['unstable', 'watch', 'steady'], turned: { afterRound: 2 } },
      { midi: 52, verdicts: ['unstable', 'steady', null], turned: { afterRound: 1 } },
      { midi: 54, verdicts: ['steady', null, 'steady'] },
      { midi: 56, verdicts: ['steady', null, null] },
    ]);
    expect(pairsToCompare(visit)).toEqual([
      { before: 1, after: 2 },
      { before: 1, after: 3 },
      { before: 2, after: 3 },
    ]);
  });

  it('do not count a turn that was taken back', () => {
    const visit = madeVisit([{ midi: 50, verdicts: ['unstable', 'steady'], turned: { undone: true } }]);
    expect(reportOf(visit).technician.worked).toEqual([]);
  });
});

describe('what is left open', () => {
  it('names notes that jam, as long as nobody heard them without it', () => {
    const { takes, rounds, ...more } = smallVisit();
    const [of51] = takes.filter(({ midi }) => midi === 51);
    const jams = (number: number, jammed: boolean) => ({
      ...of51,
      id: `jam-${number}`,
      roundId: rounds[1].id,
      number,
      jammed,
    });
    const told = (own: typeof takes) => reportOf({ ...more, rounds, takes: [...takes, ...own] });
    const jammed = told([jams(90, true)]);
    expect(jammed.said[1].sentences[0]).toMatch(/^Jammed, as the player said: D#3;/);
    expect(jammed.technician.stillOpen[0]).toEqual(['D#3', 'jams, entered by the player']);
    expect(told([jams(90, true), jams(91, false)]).said[1].sentences[0]).not.toContain('Jammed');
  });

  it('names notes that count for neither side until somebody says whether they were adjusted', () => {
    const small = smallVisit();
    const report = reportOf({ ...small, adjustments: [] });
    expect(report.said[1].sentences.join(' ')).toMatch(
      /Not counted yet, for nobody said whether it was adjusted: .*D5\./,
    );
    expect(reportOf(small).said[1].sentences.join(' ')).not.toContain('Not counted yet');
  });

  it('says why nothing is called changed where the rounds are not of one hand', () => {
    const made = madeVisit([worked(50, 'no-change-shown')]);
    const [{ document, ...pair }] = made.compared;
    const advice = [{ code: 'other-hand' as const, message: 'The two rounds are not of one hand.' }];
    const { trust, technician } = reportOf({ ...made, compared: [{ ...pair, document: { ...document, advice } }] });
    expect(trust.join(' ')).toContain('not played by one hand');
    expect(technician.footing).toContain('The two rounds are not of one hand.');
  });
});

describe('the demo visit', () => {
  const report = () => reportOf(demoVisit());

  it('tells what came out, what was done and what it rests on', () => {
    const { headline, lead, said, technician, circumstances } = report();
    expect(circumstances).toEqual(['18 May 2026', '21 \u00b0C', '46 % humidity']);
    expect(headline).toBe('One of five worked notes improved. No note is unstable now.');
    expect(lead).toContain('All 88 notes heard, five worked on and heard again.');
    expect(lead).toContain('invented');
    expect(said[0].sentences[0]).toContain('On A#5');
    expect(technician.worked.map(({ midi }) => midi)).toEqual([36, 51, 59, 74, 82]);
    expect(technician.worked[4].measured[0]).toMatchObject({
      finding: 'Struck twice',
      before: '15 of 64',
      after: '0 of 61',
    });
    expect(technician.gauges).toHaveLength(4);
    expect(technician.hours.at(-1)).toEqual(['In all', '2 hours']);
    expect(technician.readiness[0]).toEqual(['Screws tight', 'put right']);
    expect(technician.lookAgain.join(' ')).toMatch(/D#3 and B3, lever: .*spring/);
  });

  it('says what sound cannot tell, and never that a cause is sure', () => {
    const text = JSON.stringify(report());
    for (const word of ['dip', 'aftertouch', 'checking', 'drop', 'alignment'])
      expect(text.toLowerCase()).toContain(word);
    expect(text).not.toMatch(/the cause is|outlier|sigma|posterior|variance/i);
  });

  it('names its file after piano and day', () => {
    expect(reportName(demoVisit())).toBe('evenfall-aldervane-274-2026-05-18');
    expect(reportName({ ...demoVisit(), piano: { ...demoVisit().piano, name: '../\u2026' } })).toBe(
      'evenfall-2026-05-18',
    );
  });
});

describe('small words', () => {
  it('lists, counts and measures', () => {
    expect(listed(['a'])).toBe('a');
    expect(listed(['a', 'b', 'c'])).toBe('a, b and c');
    expect(noteList([60, 22, 61], 8)).toBe('A#0, C4 and C#4');
    expect(noteList([60, 61, 62, 63], 3)).toBe('C4, C#4 and 2 more');
    expect([0, 59.6, 60, 125].map(durationWords)).toEqual(['0 minutes', '1 hour', '1 hour', '2 hours 5 minutes']);
    expect([46, 1.6, 1.25, -0.004].map(millimetreWords)).toEqual(['46 mm', '1.6 mm', '1.25 mm', '0 mm']);
  });
});
