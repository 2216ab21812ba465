/**
 * The audio thread's provisional contacts agree with the refined ones: four in five of the slow strokes within 2 ms, on
 * clicks and thumps laid before real tones and on practice recordings (judging variant).
 */

import { describe, expect, it } from 'vitest';
import { makePractice } from '../../src/synthesis/practice.ts';
import { seedOf } from './chance.ts';
import { takeWithContacts } from './contactMaterial.ts';
import { pooledLive, scoreLive } from './liveContacts.ts';
import { record } from './material.ts';

const KEYS = [30, 45, 57, 69, 81, 93];

async function laid(noise: 'click' | 'thump') {
  const scores = [];
  for (const midi of KEYS) {
    const seed = seedOf(midi, 5, noise.length);
    const plan = takeWithContacts(
      { midi, slowLayers: [8], fastLayers: [8], rate: 6, ringDb: -10, snrDb: 55, seed },
      noise,
      -36,
    );
    const { samples, sampleRate } = await record(plan);
    scores.push(scoreLive(samples, sampleRate));
  }
  return pooledLive(scores);
}

describe('provisional contacts', () => {
  it.each(['click', 'thump'] as const)('agree with the refined ones: %s before real tones', async (noise) => {
    const { refined, agreed, delay } = await laid(noise);
    expect(refined).toBeGreaterThan(36);
    expect(agreed / refined).toBeGreaterThanOrEqual(0.8);
    // It is told while the next stroke of a slow passage is still to come.
    expect(delay).toBeLessThan(0.45);
  });

  it('agree with the refined ones: practice recordings', () => {
    const { samples, truth } = makePractice(
      {
        variant: 'judging',
        snrDb: 50,
        notes: KEYS.map((midi) => ({ midi, passages: [{ kind: 'slow' as const, strokes: 8 }] })),
      },
      23,
    );
    const { refined, agreed } = scoreLive(samples, truth.sampleRate);
    expect(refined).toBeGreaterThan(15);
    expect(agreed / refined).toBeGreaterThanOrEqual(0.8);
  });
});
