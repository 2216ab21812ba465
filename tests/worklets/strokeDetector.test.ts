/**
 * The worklet in a real audio graph: the bundled module, run by a Web Audio implementation for Node, must report what
 * the detector reports when called directly, whatever the sizes of the blocks, and hand on every sample as it came.
 */

import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { AudioWorkletNode, OfflineAudioContext } from 'web-audio-api';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makePractice } from '../../src/synthesis/practice.ts';
import { STROKE_DETECTOR, type FromDetector, type FromEar, type Samples } from '../../worklets/messages.ts';
import { bundledWorklet } from './audioScope.ts';
import { direct, foundIn } from './direct.ts';

const PIECE = 1000;
let folder: string;
let modulePath: string;
let source: string;

beforeAll(async () => {
  source = await bundledWorklet();
  folder = await mkdtemp(join(tmpdir(), 'evenfall-worklet-'));
  modulePath = join(folder, 'worklet.js');
  await writeFile(modulePath, source);
});

afterAll(() => rm(folder, { recursive: true, force: true }));

function practice(sampleRate: number) {
  return makePractice(
    {
      variant: 'judging',
      sampleRate,
      snrDb: 35,
      notes: [
        {
          midi: 45,
          passages: [
            { kind: 'slow', strokes: 3 },
            { kind: 'fast', strokes: 8, ratePerSecond: 6 },
          ],
        },
        {
          midi: 76,
          passages: [
            { kind: 'slow', strokes: 3 },
            { kind: 'fast', strokes: 8, ratePerSecond: 8 },
          ],
        },
      ],
    },
    11,
  ).samples;
}

/** What the page gets, and what comes over the connected port. */
interface Rendered {
  readonly messages: FromDetector[];
  readonly ear: FromEar[];
}

/** Renders samples through the worklet and collects its messages; the graph pads the last quantum with zeros. */
async function throughGraph(samples: Float32Array, sampleRate: number): Promise<Rendered> {
  const context = new OfflineAudioContext(1, samples.length, sampleRate);
  await context.audioWorklet.addModule(modulePath);
  const buffer = context.createBuffer(1, samples.length, sampleRate);
  buffer.copyToChannel(samples, 0);
  const player = context.createBufferSource();
  player.buffer = buffer;
  // The implementation's declaration leaves the constructor's arguments out.
  const Node = AudioWorkletNode as unknown as new (
    c: typeof context,
    name: string,
  ) => InstanceType<typeof AudioWorkletNode>;
  const node = new Node(context, STROKE_DETECTOR);
  const messages: FromDetector[] = [];
  const ear: FromEar[] = [];
  const failures: unknown[] = [];
  node.onprocessorerror = (event: unknown) => failures.push(event);
  node.port.onmessage = ({ data }: { data: FromDetector }) => messages.push(data);
  const { port1, port2 } = new MessageChannel();
  const flushed = new Promise<void>((resolve) => {
    port1.onmessage = ({ data }: MessageEvent<FromEar>) => {
      ear.push(data);
      if (data.type === 'flushed') resolve();
    };
  });
  node.port.postMessage({ type: 'connect', port: port2, piece: PIECE }, [port2]);
  // It renders without letting messages in between.
  await new Promise((resolve) => setTimeout(resolve, 20));
  player.connect(node).connect(context.destination);
  player.start();
  await context.startRendering();
  node.port.postMessage({ type: 'flush' });
  await flushed;
  await expect.poll(() => messages.at(-1)?.type).toBe('flushed');
  node.port.close();
  port1.close();
  expect(failures).toEqual([]);
  return { messages, ear };
}

describe('the stroke-detector worklet', () => {
  it('is one chunk without imports, fit for addModule', () => {
    expect(source).not.toMatch(/^\s*(import|export)\b/m);
    expect(source).toContain(STROKE_DETECTOR);
  });

  it.each([48000, 44100])(
    'reports at %i Hz exactly what the detector reports when called directly, and hands on every sample',
    async (sampleRate) => {
      const samples = practice(sampleRate);
      const { messages, ear } = await throughGraph(samples, sampleRate);
      const padded = new Float32Array(Math.ceil(samples.length / 128) * 128);
      padded.set(samples);
      const found = foundIn(messages);
      expect(found.strokes.length).toBeGreaterThan(20);
      expect(found.contacts.map(({ stroke }) => stroke)).toEqual(found.strokes.map(({ frame }) => frame));
      expect(found.contacts.filter(({ contact }) => contact >= 0).length).toBeGreaterThan(2);
      for (const block of [1, 127, 128, 4096]) {
        expect(found, `block ${block}`).toEqual(direct(padded, sampleRate, block));
      }
      expect(messages.filter((m) => m.type === 'gap')).toEqual([]);
      expect(messages.at(-1)).toEqual({ type: 'flushed', frame: padded.length });

      expect(ear.filter((m) => m.type !== 'samples')).toEqual(messages);
      const pieces = ear.filter((m): m is Samples => m.type === 'samples');
      expect(pieces.map(({ frame }) => frame)).toEqual(pieces.map((_, i) => i * PIECE));
      const sound = Buffer.concat(pieces.map((piece) => Buffer.from(piece.samples.buffer)));
      expect(sound.equals(Buffer.from(padded.buffer))).toBe(true);
    },
  );
});
