/**
 * The worklet's processor called directly, as an audio thread calls it: the bundled module, with the few globals that it
 * finds there. What it posts goes nowhere but into a list.
 */

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'vite';
import type { FromEar, ToDetector } from '../../worklets/messages.ts';

/** The module as it is shipped: one chunk. */
export async function bundledWorklet(): Promise<string> {
  const result = await build({
    configFile: false,
    logLevel: 'silent',
    build: { write: false, target: 'es2022', lib: { entry: 'worklets/strokeDetector.ts', formats: ['es'] } },
  });
  const outputs = (Array.isArray(result) ? result : [result]).flatMap((r) => ('output' in r ? r.output : []));
  const chunks = outputs.filter((output) => output.type === 'chunk');
  if (chunks.length !== 1) throw new Error(`${chunks.length} chunks; expected one`);
  return chunks[0].code;
}

/** One end of a connection: what was posted, and a way to answer. */
export class Line {
  readonly posted: FromEar[] = [];
  onmessage: ((event: { data: unknown }) => void) | null = null;
  /** Told every message as it is posted. */
  told: (message: FromEar) => void = () => undefined;

  postMessage(message: FromEar): void {
    this.posted.push(message);
    this.told(message);
  }
}

interface Processor {
  readonly port: Line;
  process(inputs: Float32Array[][], outputs: Float32Array[][]): boolean;
}

/** A processor and its clock. */
export class AudioThread {
  private constructor(
    readonly processor: Processor,
    private readonly clock: { currentFrame: number },
  ) {}

  /** Loads the module and builds its processor at that rate. */
  static async start(source: string, sampleRate: number): Promise<AudioThread> {
    let made: (new () => Processor) | null = null;
    const clock = Object.assign(globalThis, {
      currentFrame: 0,
      sampleRate,
      AudioWorkletProcessor: class {
        readonly port = new Line();
      },
      registerProcessor: (_name: string, processor: new () => Processor) => (made = processor),
    });
    const folder = mkdtempSync(join(tmpdir(), 'evenfall-scope-'));
    const file = join(folder, 'worklet.mjs');
    writeFileSync(file, source);
    await import(/* @vite-ignore */ file);
    rmSync(folder, { recursive: true });
    if (!made) throw new Error('the module registered no processor');
    return new AudioThread(new (made as new () => Processor)(), clock);
  }

  /** What the page says to the processor. */
  say(message: ToDetector | { readonly type: 'connect'; readonly port: Line; readonly piece: number }): void {
    this.processor.port.onmessage?.({ data: message });
  }

  /** Calls the processor with these samples in blocks of that size; null for an input that is not connected. */
  play(samples: Float32Array, block: number, connected = true): void {
    for (let at = 0; at < samples.length; at += block) {
      const part = samples.subarray(at, at + block);
      this.processor.process(connected ? [[part]] : [[]], [[new Float32Array(part.length)]]);
      this.clock.currentFrame += part.length;
    }
  }

  /** Frames that never come. */
  jump(frames: number): void {
    this.clock.currentFrame += frames;
  }
}
