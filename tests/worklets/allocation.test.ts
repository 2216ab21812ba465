/**
 * What the worklet itself allocates while samples go out in pieces: something for a message, nothing for a block.
 *
 * Measured as growth of the heap over 50,000 blocks, without a collection in between, in a process of its own; ports and
 * globals of the audio thread are stand-ins that keep nothing and hand each buffer back. Buffers lie outside the heap and
 * are counted by the test of the pieces. A busy machine, whose compiler comes late, is given up to four passes.
 */

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { bundledWorklet } from './audioScope.ts';

const folder = mkdtempSync(join(tmpdir(), 'evenfall-worklet-allocation-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const BLOCKS = 50_000;
const PIECE = 48_000;
/** Bytes of a message's objects, at most: the message itself, the list of what is transferred, views of a part. */
const MOST_PER_MESSAGE = 800;
/** Bytes a block where only pieces are sent, at most: the smallest object has more. */
const MOST_PER_BLOCK = 8;

const PROBE = `
import { PerformanceObserver } from 'node:perf_hooks';
import { getHeapStatistics } from 'node:v8';
const playing = process.argv[2] === 'playing';
const leak = process.argv[2] === 'leak';
let messages = 0;
let pieces = 0;
const emptied = { data: { type: 'emptied', samples: null } };
class Line {
  onmessage = null;
  postMessage(message) {
    messages++;
    if (message.type !== 'samples') return;
    pieces++;
    emptied.data.samples = message.samples;
    this.onmessage(emptied);
  }
}
let Processor;
Object.assign(globalThis, {
  sampleRate: 48000,
  currentFrame: 0,
  AudioWorkletProcessor: class { port = new Line(); },
  registerProcessor: (name, processor) => { Processor = processor; },
});
await import('./worklet.js');
const processor = new Processor();
processor.port.onmessage({ data: { type: 'connect', port: new Line(), piece: ${PIECE} } });
const signal = new Float32Array(48000);
for (let k = 0; k < 6; k++)
  for (let i = 0; i < 8000; i++) {
    signal[k * 8000 + i] += (playing ? 0.4 : 0) * Math.exp(-i / 3000) * Math.sin(i * (0.02 + 0.01 * k)) + 1e-4 * Math.sin(i * i);
    signal[((k + 1) * 8000 - 1440 + i) % 48000] += (playing ? 0.02 : 0) * Math.exp(-i / 40) * Math.sin(i * 0.5);
  }
const inputs = Array.from({ length: 375 }, (_, b) => [[signal.subarray(b * 128, b * 128 + 128)]]);
const outputs = [[new Float32Array(128)]];
let kept = null;
let collections = 0;
new PerformanceObserver((list) => { collections += list.getEntries().length; }).observe({ entryTypes: ['gc'] });
function run(n) {
  for (let b = 0; b < n; b++) {
    processor.process(inputs[b % 375], outputs);
    globalThis.currentFrame += 128;
    if (leak) kept = { b };
  }
}
for (let part = 0; part < 20; part++) {
  run(200);
  await new Promise((resolve) => setTimeout(resolve, 100));
}
const passes = [];
do {
  globalThis.gc();
  await new Promise((resolve) => setTimeout(resolve, 50));
  collections = messages = pieces = 0;
  const before = getHeapStatistics().used_heap_size;
  run(${BLOCKS});
  const bytes = getHeapStatistics().used_heap_size - before;
  await new Promise((resolve) => setTimeout(resolve, 50));
  passes.push({ bytes, messages, pieces, collections });
} while (passes.at(-1).bytes > (playing ? ${MOST_PER_MESSAGE} * messages : ${MOST_PER_BLOCK * BLOCKS}) && passes.length < 4);
console.log(JSON.stringify(passes));
`;

interface Pass {
  readonly bytes: number;
  readonly messages: number;
  readonly pieces: number;
  readonly collections: number;
}

describe('the worklet on the audio thread', () => {
  it('allocates for its messages, and nothing for a block', async () => {
    writeFileSync(join(folder, 'package.json'), '{"type":"module"}');
    writeFileSync(join(folder, 'worklet.js'), await bundledWorklet());
    writeFileSync(join(folder, 'probe.js'), PROBE);
    const flags = ['--min-semi-space-size=64', '--max-semi-space-size=64', '--expose-gc'];
    const probe = (mode: string) =>
      JSON.parse(
        execFileSync(process.execPath, [...flags, join(folder, 'probe.js'), mode], { encoding: 'utf8' }),
      ) as Pass[];
    const quiet = probe('quiet').at(-1)!;
    const playing = probe('playing').at(-1)!;
    console.log(
      `${BLOCKS} blocks: ${(quiet.bytes / BLOCKS).toFixed(2)} bytes a block with ${quiet.messages} pieces alone; ` +
        `${(playing.bytes / playing.messages).toFixed(0)} bytes a message with ${playing.messages} of them`,
    );
    expect(quiet.collections + playing.collections).toBe(0);
    expect(quiet.messages).toBe(quiet.pieces);
    for (const { pieces } of [quiet, playing]) expect(Math.abs(pieces - (BLOCKS * 128) / PIECE)).toBeLessThan(2);
    expect(quiet.bytes).toBeLessThan(MOST_PER_BLOCK * BLOCKS);
    expect(playing.messages).toBeGreaterThan(1000);
    expect(playing.messages).toBeLessThan(BLOCKS / 5);
    expect(playing.bytes).toBeLessThan(MOST_PER_MESSAGE * playing.messages);
    // The probe sees a small object a block where there is one, in every pass.
    const leaking = probe('leak');
    expect(leaking).toHaveLength(4);
    expect(Math.min(...leaking.map(({ bytes }) => bytes / BLOCKS))).toBeGreaterThan(MOST_PER_BLOCK);
  });
});
