/**
 * The worklet in a real audio graph: the bundled module, run by a Web Audio implementation for Node, must report what
 * the detector reports when called directly, whatever the sizes of the blocks.
 */

import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'vite';
import { AudioWorkletNode, OfflineAudioContext } from 'web-audio-api';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { emptyStrokeEvent, StrokeDetector, type StrokeEvent } from '../../src/signal/detector.ts';
import { emptyLiveContact, LiveContacts, type LiveContact } from '../../src/signal/liveContacts.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { STROKE_DETECTOR, type FromDetector } from '../../worklets/messages.ts';

let folder: string;
let modulePath: string;
let source: string;

beforeAll(async () => {
  const result = await build({
    configFile: false,
    logLevel: 'silent',
    build: { write: false, target: 'es2022', lib: { entry: 'worklets/strokeDetector.ts', formats: ['es'] } },
  });
  const outputs = (Array.isArray(result) ? result : [result]).flatMap((r) => ('output' in r ? r.output : []));
  const chunks = outputs.filter((output) => output.type === 'chunk');
  expect(chunks).toHaveLength(1);
  source = chunks[0].code;
  folder = await mkdtemp(join(tmpdir(), 'evenfall-worklet-'));
  const file = join(folder, 'worklet.js');
  await writeFile(file, source);
  modulePath = file;
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

function direct(samples: Float32Array, sampleRate: number, block: number): StrokeEvent[] {
  const detector = new StrokeDetector({ sampleRate, maxBlock: block });
  const events: StrokeEvent[] = [];
  const read = (n: number) => {
    for (let i = 0; i < n; i++) events.push(detector.read(i, emptyStrokeEvent()));
  };
  for (let at = 0; at < samples.length; at += block) read(detector.process(samples.subarray(at, at + block)));
  read(detector.flush());
  return events;
}

/** Contacts as the two objects give them when called directly, at any block size. */
function directContacts(samples: Float32Array, sampleRate: number, block: number): LiveContact[] {
  const detector = new StrokeDetector({ sampleRate, maxBlock: block });
  const contacts = new LiveContacts(sampleRate);
  const event = emptyStrokeEvent();
  const found: LiveContact[] = [];
  const seek = (n: number) => {
    for (let i = 0; i < n; i++) contacts.seek(detector.read(i, event).frame, event.level);
  };
  const read = (n: number) => {
    for (let i = 0; i < n; i++) found.push(contacts.read(i, emptyLiveContact()));
    return n;
  };
  for (let at = 0; at < samples.length; at += block) {
    seek(detector.process(samples.subarray(at, at + block)));
    read(contacts.process(samples.subarray(at, at + block)));
  }
  seek(detector.flush());
  while (read(contacts.flush()) > 0) continue;
  return found;
}

/** Renders samples through the worklet and collects its messages; the graph pads the last quantum with zeros. */
async function throughGraph(samples: Float32Array, sampleRate: number): Promise<FromDetector[]> {
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
  let flushed: () => void = () => undefined;
  const done = new Promise<void>((resolve) => (flushed = resolve));
  const failures: unknown[] = [];
  node.onprocessorerror = (event: unknown) => failures.push(event);
  node.port.onmessage = ({ data }: { data: FromDetector }) => {
    messages.push(data);
    if (data.type === 'flushed') flushed();
  };
  player.connect(node).connect(context.destination);
  player.start();
  await context.startRendering();
  node.port.postMessage({ type: 'flush' });
  await done;
  node.port.close();
  expect(failures).toEqual([]);
  return messages;
}

describe('the stroke-detector worklet', () => {
  it('is one chunk without imports, fit for addModule', () => {
    expect(source).not.toMatch(/^\s*(import|export)\b/m);
    expect(source).toContain(STROKE_DETECTOR);
  });

  it.each([48000, 44100])(
    'reports at %i Hz exactly what the detector reports when called directly',
    async (sampleRate) => {
      const samples = practice(sampleRate);
      const messages = await throughGraph(samples, sampleRate);
      const padded = new Float32Array(Math.ceil(samples.length / 128) * 128);
      padded.set(samples);
      const strokes = messages.flatMap((m) =>
        m.type === 'stroke' ? [{ frame: m.frame, strength: m.strength, level: m.level, precursor: m.precursor }] : [],
      );
      expect(strokes.length).toBeGreaterThan(20);
      for (const block of [1, 127, 128, 4096])
        expect(strokes, `block ${block}`).toEqual(direct(padded, sampleRate, block));
      const contacts = messages.flatMap((m) =>
        m.type === 'contact' ? [{ stroke: m.stroke, contact: m.contact, strength: m.strength }] : [],
      );
      expect(contacts.map(({ stroke }) => stroke)).toEqual(strokes.map(({ frame }) => frame));
      expect(contacts.filter(({ contact }) => contact >= 0).length).toBeGreaterThan(2);
      for (const block of [1, 127, 128, 4096])
        expect(contacts, `block ${block}`).toEqual(directContacts(padded, sampleRate, block));
      expect(messages.filter((m) => m.type === 'gap')).toEqual([]);
      expect(messages.at(-1)).toEqual({ type: 'flushed', frame: padded.length });
    },
  );
});
