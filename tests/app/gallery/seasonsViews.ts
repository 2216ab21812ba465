/** Seasons of an invented piano, made from the record of its visits as the app makes them. */

import type { Verdict } from '../../../src/analysis/document.ts';
import type { SeasonsView } from '../../../src/app/seasons/view.ts';
import { seasonsView } from '../../../src/app/seasons/seasonsView.ts';
import { parseKeyName } from '../../../src/piano/keys.ts';
import { newAdjustment, newPiano, newRound, newVisit } from '../../../src/record/newThings.ts';
import { seasonsOf, type KeptVisit } from '../../../src/record/seasons.ts';
import type { Visit } from '../../../src/record/types.ts';

const piano = newPiano({ id: 'p1', name: 'Aldervane 274', place: 'Quillwater Hall' });
const midi = (name: string) => parseKeyName(name);
const NAMES = ['D#3', 'B3', 'E4', 'A4', 'D5', 'F#5', 'C4', 'G4', 'A#2', 'E2'];
const WORDS: Readonly<Record<string, Verdict>> = { s: 'steady', w: 'watch', u: 'unstable', i: 'insufficient' };

/** A letter a note and round; a dot: not heard. */
function kept(
  day: string,
  letters: readonly string[],
  said: Partial<Visit>,
  turned: readonly string[] = [],
): KeptVisit {
  const startedAt = `${day}T09:00:00.000Z`;
  const visit = newVisit({ id: day, pianoId: piano.id, startedAt, endedAt: startedAt, ...said });
  return {
    visit,
    rounds: letters.map((row, i) =>
      newRound({
        ...{ id: `${day}-${i}`, visitId: day, number: i + 1, startedAt },
        summary: {
          analysisVersion: '0.4.0',
          verdicts: NAMES.flatMap((name, k) => (row[k] === '.' ? [] : [{ midi: midi(name), verdict: WORDS[row[k]] }])),
          flagged: [],
          line: [],
        },
      }),
    ),
    adjustments: turned.map((name) =>
      newAdjustment({
        id: `${day}-${name}`,
        visitId: day,
        midi: midi(name),
        at: startedAt,
        afterRound: 1,
        what: 'lever',
      }),
    ),
  };
}

const MAY = kept('2025-05-18', ['uuswss.s.s', 'ss..s.....'], { temperatureC: 21, humidityPercent: 52, player: 'R.' }, [
  'D#3',
  'B3',
]);
const NOVEMBER = kept('2025-11-03', ['sswwssss.s'], { temperatureC: 20, humidityPercent: 34, player: 'R.' });
const TODAY = kept('2026-05-12', ['swwsissssu'], {
  ...{ temperatureC: 22, humidityPercent: 55, player: 'S.', newParts: 'Repetition springs, C4 to C6.' },
});
const day = (date: Date) =>
  date.toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });

/** The seasons, by name. */
export const SEASONS_VIEWS: Readonly<Record<string, SeasonsView>> = {
  three: seasonsView(piano, seasonsOf([MAY, NOVEMBER, TODAY]), day),
  one: seasonsView(piano, seasonsOf([NOVEMBER]), day),
  steady: seasonsView(
    piano,
    seasonsOf([kept('2025-05-18', ['ssssssssss'], {}), kept('2026-05-18', ['ssssssssss'], {})]),
    day,
  ),
};
