/**
 * The bench: how fast recordings are analysed, and what the detector costs on the audio thread.
 *
 *   npm run bench
 *   npm run bench -- --browser    the same of the page in Chromium, at the pace of the sound: three minutes
 *
 * Times are medians of five after one to warm up, on whatever the machine is doing besides: it is named, with its load,
 * and every figure stands beside a general-purpose tool's on the same samples in the same run. Nothing is subtracted.
 * The project is timed from samples in memory to the finished document; aubio's two tools, run in turn, from starting
 * the program over reading the WAV file to its last line; the flux peer from samples in memory to its peaks.
 */

import { execFileSync } from 'node:child_process';
import { cpus, loadavg } from 'node:os';
import { analyse } from '../../src/analysis/analyse.ts';
import { median, quantile } from '../../src/evaluation/distribution.ts';
import { emptyStrokeEvent, StrokeDetector } from '../../src/signal/detector.ts';
import { emptyLiveContact, LiveContacts } from '../../src/signal/liveContacts.ts';
import { aubioPresent, wavOf } from '../accuracy/aubio.ts';
import { seedOf } from '../accuracy/chance.ts';
import { fluxCurve, fluxPeaks } from '../accuracy/flux.ts';
import { record, type Plan, type Recording } from '../accuracy/material.ts';
import { wholeTake } from '../accuracy/patterns.ts';
import { asText, figure, type Table } from '../accuracy/table.ts';

const KEYS = [21, 30, 39, 48, 57, 66, 75, 84, 93, 102];
const RUNS = 5;
const BLOCK = 128;

/** Ten takes, one after the other without a pause for talk: nothing in it is quick to skip. */
function takeDense(): Plan {
  let now = 0;
  const strokes = KEYS.flatMap((midi) => {
    const plan = wholeTake({
      midi,
      slowLayers: [8],
      fastLayers: [8, 12],
      rate: 6,
      ringDb: -6,
      snrDb: 30,
      seed: seedOf(midi, 7),
    });
    const shifted = plan.strokes.map((stroke) => ({
      ...stroke,
      timeSeconds: stroke.timeSeconds + now,
      letGo: stroke.letGo && {
        ...stroke.letGo,
        fromSeconds: stroke.letGo.fromSeconds + now,
        toSeconds: stroke.letGo.toSeconds + now,
      },
    }));
    now += plan.durationSeconds;
    return shifted;
  });
  return { name: 'ten takes', strokes, durationSeconds: now, cents: 0, snrDb: 30, seed: 7 };
}

/** Median wall time of five runs after one, seconds. */
function timed(run: () => unknown): number {
  run();
  const times = Array.from({ length: RUNS }, () => {
    const start = process.hrtime.bigint();
    run();
    return Number(process.hrtime.bigint() - start) / 1e9;
  });
  return median(times);
}

function wholeAnalysis(recording: Recording): Table {
  const { samples, sampleRate } = recording;
  const durationSeconds = samples.length / sampleRate;
  const source = { file: recording.name, sampleRate, channels: 1, durationSeconds };
  const own = timed(() => analyse(samples, source));
  const flux = timed(() => fluxPeaks(fluxCurve(recording), sampleRate, 4));
  const row = (name: string, seconds: number): string[] => [
    name,
    figure(seconds, 3),
    figure(durationSeconds / seconds, 0),
    figure(own / seconds, 2),
  ];
  const rows = [row('Evenfall, whole analysis', own), row('spectral flux (meyda), onsets only', flux)];
  const notes: string[] = [];
  if (aubioPresent()) {
    const path = wavOf(recording);
    const tool = (name: string): void => {
      execFileSync(name, ['-i', path, '-r', '0'], { stdio: ['ignore', 'pipe', 'ignore'], maxBuffer: 1 << 26 });
    };
    rows.push(
      row(
        'aubioonset, then aubiopitch',
        timed(() => ['aubioonset', 'aubiopitch'].forEach(tool)),
      ),
      row(
        'aubioonset alone',
        timed(() => tool('aubioonset')),
      ),
    );
  } else {
    notes.push('aubio-tools are not installed: their rows are left out.');
  }
  return {
    title: 'Whole analysis, one core',
    rests: `${KEYS.length} takes of 20 strokes, ${figure(durationSeconds, 0)} s at ${sampleRate} Hz; median of ${RUNS} runs after one.`,
    head: ['what', 'seconds', 'x real time', 'our time / its time'],
    rows,
    notes,
  };
}

function audioThread({ samples, sampleRate }: Recording): Table {
  const detector = new StrokeDetector({ sampleRate, maxBlock: BLOCK });
  const contacts = new LiveContacts(sampleRate);
  const event = emptyStrokeEvent();
  const contact = emptyLiveContact();
  const blocks = Math.floor(samples.length / BLOCK);
  const times = new Float64Array(blocks);
  let strokes = 0;
  const pass = (): void => {
    detector.reset();
    contacts.reset();
    strokes = 0;
    for (let b = 0; b < blocks; b++) {
      const block = samples.subarray(b * BLOCK, (b + 1) * BLOCK);
      const start = process.hrtime.bigint();
      const waiting = detector.process(block);
      for (let i = 0; i < waiting; i++) contacts.seek(detector.read(i, event).frame, event.level);
      const found = contacts.process(block);
      for (let i = 0; i < found; i++) contacts.read(i, contact);
      times[b] = Number(process.hrtime.bigint() - start) / 1000;
      strokes += waiting;
    }
    detector.flush();
  };
  pass();
  const best = new Float64Array(blocks).fill(Infinity);
  const passes = Array.from({ length: RUNS }, () => {
    pass();
    const list = [...times];
    list.forEach((time, b) => (best[b] = Math.min(best[b], time)));
    return { mean: list.reduce((sum, t) => sum + t, 0) / blocks, p999: quantile(list, 0.999) };
  });
  const blockTime = (BLOCK / sampleRate) * 1e6;
  const row = (name: string, microseconds: number): string[] => [
    name,
    figure(microseconds, 2),
    figure((100 * microseconds) / blockTime, 2),
  ];
  return {
    title: 'Detector and search for contacts, block by block',
    rests: `${blocks} blocks of ${BLOCK} frames (${figure(blockTime, 0)} us each), ${strokes} events; median of ${RUNS} passes after one. The clock's own reading is included; the last row leaves out what else the machine did.`,
    head: ['of a block', 'us', "% of the block's time"],
    rows: [
      row('mean', median(passes.map(({ mean }) => mean))),
      row('99.9 %', median(passes.map(({ p999 }) => p999))),
      row('99.9 %, each block at its best of five', quantile([...best], 0.999)),
    ],
  };
}

console.log(
  `${cpus()[0]?.model.trim() ?? 'unknown processor'} (${cpus().length} cores), Node ${process.version}, load ${figure(loadavg()[0], 1)}, ${new Date().toISOString().slice(0, 10)}\n`,
);
if (process.argv.includes('--browser')) {
  const { browserBench } = await import('./browser.ts');
  for (const table of await browserBench()) console.log(asText(table));
  const { compassBench } = await import('./compass.ts');
  console.log(asText(await compassBench()));
  console.log(`Load after it: ${figure(loadavg()[0], 1)}`);
} else {
  const recording = await record(takeDense());
  console.log(asText(wholeAnalysis(recording)));
  console.log(asText(audioThread(recording)));
}
