/** What is said of the microphone, and when. */

import { describe, expect, it } from 'vitest';
import { earStateOf, type EarFacts, type EarState } from '../../src/capture/earState.ts';
import { isHeadset, treatmentOf } from '../../src/capture/microphone.ts';
import { earWords, headsetWords, MICROPHONE_ERRORS, processedWords } from '../../src/capture/microphoneWords.ts';

const OFF = { echo: 'off', noise: 'off', gain: 'off' } as const;

describe('treatments', () => {
  it('are on unless the browser says false, and unknown where it says nothing', () => {
    expect([false, true, 'all', 'remote-only', undefined, null].map(treatmentOf)).toEqual([
      'off',
      'on',
      'on',
      'on',
      'unknown',
      'unknown',
    ]);
  });

  it('are named with their effect', () => {
    expect(processedWords({ treatments: OFF, avoidable: [] })).toBeNull();
    expect(processedWords({ treatments: { ...OFF, gain: 'unknown' }, avoidable: [] })).toBeNull();
    expect(processedWords({ treatments: { ...OFF, noise: 'on' }, avoidable: [] })).toMatchObject({
      title: 'This microphone changes the sound',
      text: 'Noise suppression stays on and cannot be switched off here. Contacts may be lost. Repeats and loudness still count.',
    });
    expect(processedWords({ treatments: { echo: 'on', noise: 'on', gain: 'on' }, avoidable: ['echo'] })?.text).toBe(
      'Noise suppression, echo cancellation and automatic gain stay on although this device could do without. Contacts may be ' +
        'lost. Loudness cannot be compared, so soft and weak strokes are not told apart; times and silent repeats still count.',
    );
    const gain = processedWords({ treatments: { ...OFF, gain: 'on' }, avoidable: [] });
    expect(gain?.text).toMatch(/^Automatic gain stays on .* Loudness cannot be compared/);
    expect(gain?.text).not.toMatch(/Contacts/);
  });
});

describe('a headset', () => {
  it.each([
    [16_000, 'Microphone', true],
    [8000, null, true],
    [44_100, 'Bluetooth Audio', true],
    [48_000, 'Hands-Free AG Audio', true],
    [48_000, 'Handsfree', true],
    [48_000, 'Headset (2- usb)', true],
    [48_000, 'wireless earbuds', true],
    [48_000, 'Built-in Microphone', false],
    [48_000, 'USB stage microphone', false],
    [null, null, false],
    [22_050, '', false],
  ])('at %s Hz named %s: %s', (rate, label, expected) => {
    expect(isHeadset(rate, label)).toBe(expected);
  });

  it('is said with what it takes away', () => {
    expect(headsetWords({ headset: false, sampleRate: 48_000 })).toBeNull();
    expect(headsetWords({ headset: true, sampleRate: 16_000 })?.text).toMatch(/nothing above 8 kHz/);
    expect(headsetWords({ headset: true, sampleRate: 48_000 })?.text).toBe('It reshapes faint sounds.');
  });
});

describe('the state of the ear', () => {
  const well: EarFacts = {
    open: true,
    broken: false,
    connected: true,
    clockStands: false,
    trackEnded: false,
    trackMuted: false,
  };

  it.each<[Partial<EarFacts>, EarState]>([
    [{}, 'listening'],
    [{ trackMuted: true }, 'muted'],
    [{ connected: false }, 'starting'],
    [{ connected: false, clockStands: true }, 'suspended'],
    [{ clockStands: true, trackMuted: true }, 'suspended'],
    [{ clockStands: true, trackEnded: true }, 'unplugged'],
    [{ broken: true, trackEnded: true, open: false }, 'broken'],
    [{ open: false, connected: false }, 'closed'],
  ])('with %j is %s', (facts, state) => {
    expect(earStateOf({ ...well, ...facts })).toBe(state);
  });

  it('is explained wherever nothing is heard against expectation', () => {
    const states: EarState[] = ['starting', 'listening', 'suspended', 'muted', 'unplugged', 'broken', 'closed'];
    expect(states.filter((state) => earWords(state))).toEqual(['suspended', 'muted', 'unplugged', 'broken']);
    for (const words of [...Object.values(MICROPHONE_ERRORS), ...states.flatMap((state) => earWords(state) ?? [])]) {
      for (const sentence of [words.title, words.text, words.remedy]) expect(sentence.length).toBeGreaterThan(10);
      expect(`${words.title} ${words.text}`).not.toMatch(/\b(error|invalid|failed)\b/i);
    }
  });
});
