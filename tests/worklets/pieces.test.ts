/** The samples on their way out: every one, exactly, in order with the messages, whatever the sizes of the blocks. */

import { beforeAll, describe, expect, it } from 'vitest';
import { makePractice } from '../../src/synthesis/practice.ts';
import type { FromDetector, FromEar } from '../../worklets/messages.ts';
import { AudioThread, bundledWorklet, Line } from './audioScope.ts';
import { direct, foundIn } from './direct.ts';

const RATE = 44_100;
const PIECE = 4410;
let source: string;
let samples: Float32Array;

beforeAll(async () => {
  source = await bundledWorklet();
  samples = makePractice(
    {
      variant: 'judging',
      sampleRate: RATE,
      snrDb: 35,
      notes: [
        {
          midi: 52,
          pauseSeconds: 1,
          passages: [
            { kind: 'slow', strokes: 3 },
            { kind: 'fast', strokes: 8, ratePerSecond: 7 },
          ],
        },
      ],
    },
    7,
  ).samples;
});

const bits = (sound: Float32Array) => Buffer.from(sound.buffer, sound.byteOffset, sound.byteLength);
/** The pieces, one behind the other. */
function soundOf(messages: readonly FromEar[]): Float32Array {
  const sound = new Float32Array(lengthsOf(messages).reduce((sum, length) => sum + length, 0));
  let at = 0;
  for (const message of messages) {
    if (message.type !== 'samples') continue;
    sound.set(message.samples, at);
    at += message.samples.length;
  }
  return sound;
}
const lengthsOf = (messages: readonly FromEar[]) =>
  messages.flatMap((m) => (m.type === 'samples' ? [m.samples.length] : []));

async function connected(piece = PIECE): Promise<{ thread: AudioThread; line: Line }> {
  const thread = await AudioThread.start(source, RATE);
  const line = new Line();
  thread.say({ type: 'connect', port: line, piece });
  return { thread, line };
}

describe('pieces of sound', () => {
  it.each([1, 127, 128, 4096, 5000])(
    'hold every sample, and the strokes are the direct ones: blocks of %i',
    async (block) => {
      const { thread, line } = await connected();
      // Seen at each message: the samples posted until then, and those processed.
      const behind: number[] = [];
      let posted = 0;
      line.told = (message) => {
        if (message.type === 'samples') {
          expect(message.frame).toBe(posted);
          posted += message.samples.length;
        }
      };
      thread.processor.port.told = (message) => {
        if (message.type === 'stroke') behind.push(message.frame - posted);
      };
      thread.play(samples, block);
      thread.say({ type: 'flush' });
      expect(bits(soundOf(line.posted)).equals(bits(samples))).toBe(true);
      const own = thread.processor.port.posted as FromDetector[];
      expect(foundIn(own)).toEqual(direct(samples, RATE, Math.min(block, 4096)));
      expect(own.filter(({ type }) => type === 'gap')).toEqual([]);
      expect(own.at(-1)).toEqual({ type: 'flushed', frame: samples.length });
      expect(own.filter(({ type }) => type === 'stroke').length).toBeGreaterThan(8);
      expect(line.posted.filter(({ type }) => type !== 'samples')).toEqual(own);
      // A message for every piece, one for the rest, and nothing else: none for a block.
      const whole = Math.floor(samples.length / PIECE);
      expect(lengthsOf(line.posted)).toEqual([...Array<number>(whole).fill(PIECE), samples.length - whole * PIECE]);
      expect(line.posted).toHaveLength(whole + 1 + own.length);
      // A stroke is reported 0.04 s and more after it began: its piece is posted, or is the unfinished one.
      expect(Math.max(...behind)).toBeLessThan(PIECE);
    },
  );

  it('come before what was found in them: after each message fewer samples are owed than a piece holds', async () => {
    for (const block of [127, 5000]) {
      const { thread, line } = await connected(1000);
      let processed = 0;
      const owed: number[] = [];
      thread.processor.port.told = () =>
        owed.push(processed - lengthsOf(line.posted).reduce((sum, length) => sum + length, 0));
      for (let at = 0; at < 3 * RATE; at += block) {
        processed = at + block;
        thread.play(samples.subarray(at, at + block), block);
      }
      expect(owed.length).toBeGreaterThan(3);
      // A long block is taken in parts: what is found in its first part may come before the rest of it.
      expect(Math.max(...owed)).toBeLessThan(1000 + Math.max(0, block - 4096));
    }
  });

  it('are kept exactly: NaN, infinities, negative zero, denormals', async () => {
    const odd = Float32Array.of(NaN, Infinity, -Infinity, -0, 1e-42, 2, -3);
    const { thread, line } = await connected(3);
    thread.play(odd, 2);
    thread.say({ type: 'flush' });
    expect(bits(soundOf(line.posted)).equals(bits(odd))).toBe(true);
    expect(lengthsOf(line.posted)).toEqual([3, 3, 1]);
  });

  it('are silence where nothing is connected, and begin at the frame at which the port came', async () => {
    const thread = await AudioThread.start(source, RATE);
    thread.play(samples.subarray(0, 300), 100);
    const line = new Line();
    thread.say({ type: 'connect', port: line, piece: 128 });
    thread.play(samples.subarray(0, 256), 128, false);
    expect(line.posted).toEqual([
      { type: 'samples', frame: 300, samples: new Float32Array(128) },
      { type: 'samples', frame: 428, samples: new Float32Array(128) },
    ]);
  });

  it('come behind the gap that they hold, and are cut by a new count', async () => {
    const { thread, line } = await connected(1000);
    thread.play(samples.subarray(0, 1500), 100);
    thread.jump(441);
    thread.play(samples.subarray(1500, 2200), 100);
    thread.say({ type: 'reset' });
    thread.play(samples.subarray(2200, 3300), 100);
    const short = line.posted.map((m) => (m.type === 'samples' ? [m.frame, m.samples.length] : m));
    expect(short).toEqual([
      [0, 1000],
      { type: 'gap', frame: 1500, missing: 441 },
      [1000, 1000],
      [2000, 200],
      [0, 1000],
    ]);
    expect(bits(soundOf(line.posted)).equals(bits(samples.subarray(0, 3200)))).toBe(true);
  });

  it('go round in the buffers that come back; a new one is made only where none has', async () => {
    const { thread, line } = await connected(100);
    const buffers = new Set<ArrayBufferLike>();
    line.told = (message) => {
      if (message.type !== 'samples') return;
      buffers.add(message.samples.buffer);
      line.onmessage?.({ data: { type: 'emptied', samples: message.samples } });
    };
    thread.play(samples.subarray(0, 10_000), 128);
    expect(line.posted).toHaveLength(100);
    expect(buffers.size).toBe(1);
    line.told = (message) => message.type === 'samples' && buffers.add(message.samples.buffer);
    thread.play(samples.subarray(0, 1000), 128);
    expect(buffers.size).toBeGreaterThan(9);
  });

  it('of no length are refused, where the page can see it', async () => {
    const { thread } = await connected(0.5);
    expect(() => thread.play(samples.subarray(0, 128), 128)).toThrow(
      'pieces of 0.5 frames; expected a whole number from 1',
    );
  });
});
