/** A page for the bench alone: what the detector costs in this browser, by offline rendering and block by block. */

import { addDetector } from '../../src/capture/hearing.ts';
import { emptyStrokeEvent, StrokeDetector } from '../../src/signal/detector.ts';
import { emptyLiveContact, LiveContacts } from '../../src/signal/liveContacts.ts';

export interface BlockTimes {
  /** Rendering with the detector less rendering without, microseconds a block. */
  readonly rendered: number;
  /** Each block's time in the page, microseconds; and the clock's step. */
  readonly blocks: readonly number[];
  readonly step: number;
}

const BLOCK = 128;

async function render(samples: Float32Array<ArrayBuffer>, sampleRate: number, detecting: boolean): Promise<number> {
  const context = new OfflineAudioContext(1, samples.length, sampleRate);
  const buffer = context.createBuffer(1, samples.length, sampleRate);
  buffer.copyToChannel(samples, 0);
  const player = new AudioBufferSourceNode(context, { buffer });
  if (detecting) {
    const node = await addDetector(context);
    player.connect(node);
    // The processor rehearses when it is built: its answer says that it is ready.
    await new Promise((resolve) => {
      node.port.onmessage = resolve;
      node.port.postMessage({ type: 'flush' });
      setTimeout(resolve, 3000);
    });
  } else player.connect(context.destination);
  player.start();
  const start = performance.now();
  await context.startRendering();
  return (performance.now() - start) * 1000;
}

function blockByBlock(samples: Float32Array, sampleRate: number): number[] {
  const detector = new StrokeDetector({ sampleRate, maxBlock: BLOCK });
  const contacts = new LiveContacts(sampleRate);
  const event = emptyStrokeEvent();
  const contact = emptyLiveContact();
  const times: number[] = [];
  for (let at = 0; at + BLOCK <= samples.length; at += BLOCK) {
    const block = samples.subarray(at, at + BLOCK);
    const start = performance.now();
    const waiting = detector.process(block);
    for (let i = 0; i < waiting; i++) contacts.seek(detector.read(i, event).frame, event.level);
    const found = contacts.process(block);
    for (let i = 0; i < found; i++) contacts.read(i, contact);
    times.push((performance.now() - start) * 1000);
  }
  return times;
}

function clockStep(): number {
  let step = Infinity;
  for (let i = 0; i < 20; i++) {
    const start = performance.now();
    let now = start;
    while (now === start) now = performance.now();
    step = Math.min(step, now - start);
  }
  return step * 1000;
}

async function measure(sound: string, sampleRate: number): Promise<BlockTimes> {
  const bytes = Uint8Array.from(atob(sound), (letter) => letter.charCodeAt(0));
  const samples = Float32Array.from(new Int16Array(bytes.buffer), (sample) => sample / 32768);
  const count = samples.length / BLOCK;
  await render(samples, sampleRate, true);
  const [withIt, without] = [await render(samples, sampleRate, true), await render(samples, sampleRate, false)];
  blockByBlock(samples, sampleRate);
  return { rendered: (withIt - without) / count, blocks: blockByBlock(samples, sampleRate), step: clockStep() };
}

declare global {
  interface Window {
    measure: typeof measure;
  }
}
window.measure = measure;
