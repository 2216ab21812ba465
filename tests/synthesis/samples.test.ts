import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readSound } from '../../src/soundfiles/index.ts';
import type { PracticeTruth } from '../../src/synthesis/practice.ts';
import { decibels, level } from './stroke.ts';

const FOLDER = new URL('../../samples/', import.meta.url);
const takes = readdirSync(FOLDER)
  .filter((name) => name.endsWith('.flac'))
  .map((name) => name.replace('.flac', ''));

describe('samples', () => {
  it('are the three takes of the demo', () => expect(takes).toHaveLength(3));

  it.each(takes)('%s fits the truth beside it', async (take) => {
    const bytes = readFileSync(new URL(`${take}.flac`, FOLDER));
    const truth: PracticeTruth = JSON.parse(readFileSync(new URL(`${take}.truth.json`, FOLDER), 'utf8'));
    expect(bytes.length).toBeLessThan(700_000);
    const { sampleRate, channels } = await readSound(bytes);
    expect(sampleRate).toBe(truth.sampleRate);
    expect(channels).toHaveLength(1);
    expect(channels[0].length).toBe(Math.round(truth.durationSeconds * sampleRate));
    const slow = truth.strokes.filter((stroke) => stroke.passage === 'slow');
    expect(slow.length).toBeGreaterThanOrEqual(8);
    for (const { onsetSeconds } of slow) {
      const before = level(channels[0], sampleRate, onsetSeconds! - 0.012, onsetSeconds! - 0.002);
      const after = level(channels[0], sampleRate, onsetSeconds! + 0.01, onsetSeconds! + 0.05);
      expect(decibels(after / before)).toBeGreaterThan(20);
    }
  });

  it('hold a sound note, one that misses repeats, and two notes in turn', () => {
    const [sound, missing, two] = takes.map(
      (take) => JSON.parse(readFileSync(new URL(`${take}.truth.json`, FOLDER), 'utf8')) as PracticeTruth,
    );
    expect(sound.strokes.some((stroke) => stroke.kind === 'silent')).toBe(false);
    expect(missing.strokes.filter((stroke) => stroke.faults.includes('missed-repeats')).length).toBeGreaterThan(3);
    expect([...new Set(two.strokes.map((stroke) => stroke.midi))]).toEqual([43, 84]);
  });
});
