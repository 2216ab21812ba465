/** What the start screen offers: every plan with how long it takes. */

import { describe, expect, it } from 'vitest';
import { NO_CHOICES, offersOf, planOf } from '../../src/app/desk/plans.ts';
import { EMPTY_SHELVES } from '../../src/app/desk/shelves.ts';
import { newPiano } from '../../src/record/newThings.ts';

const piano = newPiano({ id: 'p', name: 'Aldervane 274', lowest: 40, highest: 85, breaks: [50] });
const NOW = '2026-05-04T09:00:00.000Z';
const shelves = { ...EMPTY_SHELVES, pianos: [piano] };

describe('the plans on offer', () => {
  it('say how long they take before anything is chosen; a section says it by its name', () => {
    const { plans, sections } = offersOf(NO_CHOICES, EMPTY_SHELVES, [], NOW);
    const long = Object.fromEntries(plans.map(({ kind, minutes }) => [kind, minutes]));
    expect(long).toEqual({ free: null, 'one-note': 3, 'hand-picked': null, section: null, compass: 19, sampled: 5 });
    expect(sections.map(({ name }) => name)).toEqual([
      'Bass, A0 to A#2, about 6 minutes',
      'Tenor, B2 to A#4, about 5 minutes',
      'Treble, B4 to F#6, about 4 minutes',
      'High treble, G6 to C8, about 4 minutes',
    ]);
  });

  it('are those of the piano chosen, whose usual breaks may lie beyond it', () => {
    const choices = { ...NO_CHOICES, pianoId: 'p' };
    const { plans, sections } = offersOf(choices, shelves, [], NOW);
    expect(plans.find(({ kind }) => kind === 'compass')).toMatchObject({ notes: 46, minutes: 10 });
    expect(sections.map(({ name }) => name)).toEqual([
      'Bass, E2 to C#3, about 2 minutes',
      'Treble, D3 to C#6, about 8 minutes',
    ]);
    expect(planOf({ ...choices, plan: 'section', sectionId: '1' }, piano)!.steps).toHaveLength(36);
    const short = { ...piano, breaks: [] };
    expect(planOf({ ...choices, plan: 'sampled' }, short)!.steps.every(({ midi }) => midi >= 40 && midi <= 85)).toBe(
      true,
    );
  });
});
