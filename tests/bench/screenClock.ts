/**
 * Put into the page before its own scripts: when strokes are told, when what is shown is painted, and which block of the
 * audio clock was worked on when. The product's own code is untouched: constructors are wrapped.
 *
 * A painted frame is the first task after the animation frame that follows a change. The audio clock is read every 10 ms and
 * laid against the page's; a block counts as worked on at the earliest moment that fits all readings nearby.
 */

/** What the screen shows in one painted frame. */
export interface Painted {
  /** Milliseconds of the page's clock, as everywhere here. */
  readonly at: number;
  readonly note: string;
  readonly heard: boolean;
  /** Strokes on all lanes. */
  readonly marks: number;
  /** Notes that stand on the strip of keys: without a plan those of which a take is refined and kept. */
  readonly kept: number;
}

/** A message of the listening worker about a stroke or a take. */
export interface Told {
  readonly at: number;
  readonly type: string;
  /** Frames from the beginning of listening, where the message has them. */
  readonly frame: number;
  readonly take: number;
  readonly midi: number | null;
}

export interface ScreenRecord {
  readonly painted: Painted[];
  readonly told: Told[];
  /** Page's clock and the audio clock, milliseconds. */
  readonly clock: { readonly at: number; readonly audio: number }[];
  /** Frames that the detector had seen, and the audio clock when it answered. */
  readonly seen: { readonly audio: number; readonly frame: number }[];
  readonly longTasks: { readonly at: number; readonly duration: number }[];
  sampleRate: number;
}

declare global {
  interface Window {
    screenRecord: ScreenRecord;
  }
}

/** Runs in the page; stands alone, for it is sent there as text. */
export function recordScreen(): void {
  const record: ScreenRecord = { painted: [], told: [], clock: [], seen: [], longTasks: [], sampleRate: 0 };
  window.screenRecord = record;
  const contexts: AudioContext[] = [];
  window.AudioContext = class extends AudioContext {
    constructor(options?: AudioContextOptions) {
      super(options);
      contexts.push(this);
      record.sampleRate = this.sampleRate;
    }
  };
  setInterval(() => {
    const context = contexts.at(-1);
    if (context) record.clock.push({ at: performance.now(), audio: context.currentTime * 1000 });
  }, 10);
  window.AudioWorkletNode = class extends AudioWorkletNode {
    constructor(base: BaseAudioContext, name: string, options?: AudioWorkletNodeOptions) {
      super(base, name, options);
      this.port.addEventListener('message', ({ data }: MessageEvent<{ type: string; frame: number }>) => {
        if (data.type === 'flushed') record.seen.push({ audio: base.currentTime * 1000, frame: data.frame });
      });
      // Before the first stroke: where the detector's count stands on the audio clock.
      for (let i = 0; i < 20; i++) setTimeout(() => this.port.postMessage({ type: 'flush' }), 1500 + 37 * i);
    }
  };
  window.Worker = class extends Worker {
    constructor(address: string | URL, options?: WorkerOptions) {
      super(address, options);
      this.addEventListener('message', ({ data }: MessageEvent<Record<string, unknown>>) => {
        const { type, frame, take, midi, stroke } = data;
        if (typeof type !== 'string' || !/^(struck|named|stroke|take-begun|take-ended|gap)$/.test(type)) return;
        const inner = stroke as { frame: number } | undefined;
        record.told.push({
          at: performance.now(),
          type,
          frame: inner?.frame ?? (frame as number | undefined) ?? -1,
          take: (take as number | undefined) ?? -1,
          midi: (midi as number | null | undefined) ?? null,
        });
      });
    }
  };
  new PerformanceObserver((list) => {
    for (const { startTime, duration } of list.getEntries()) record.longTasks.push({ at: startTime, duration });
  }).observe({ type: 'longtask', buffered: true });

  let asked = false;
  const afterPaint = new MessageChannel();
  afterPaint.port1.onmessage = () => {
    asked = false;
    const marks = [...document.querySelectorAll('.lane')].reduce((sum: number, lane) => {
      const done = Number.parseInt(lane.querySelector('.lane-count')?.textContent ?? '0', 10);
      return sum + done + Number(lane.querySelector('.extra')?.textContent ?? 0);
    }, 0);
    const note = document.querySelector('.big-note');
    record.painted.push({
      at: performance.now(),
      note: note?.querySelector('h1 .unseen')?.textContent ?? '',
      heard: note?.getAttribute('data-heard') === 'true',
      marks,
      kept: document.querySelectorAll('.strip-note').length,
    });
  };
  const paint = () => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => afterPaint.port2.postMessage(0));
  };
  new MutationObserver(paint).observe(document, {
    subtree: true,
    childList: true,
    characterData: true,
    attributes: true,
  });
}
