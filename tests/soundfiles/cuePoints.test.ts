import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  readCuePoints,
  readSound,
  takeCues,
  withCuePoints,
  writeKept,
  type CuePoint,
} from '../../src/soundfiles/index.ts';

const samples = Int16Array.from({ length: 4801 }, (_, i) => Math.round(9000 * Math.sin(i / 7)));
const wav = writeKept(samples, 48_000);
const POINTS: CuePoint[] = [
  { frame: 0, label: 'contact 1' },
  { frame: 1234, label: 'onset 1 slow' },
  { frame: 4800, label: '' },
];
const labels = fc.string({ unit: fc.constantFrom(...'abcXYZ #1(),~ '), maxLength: 30 });
const cues = fc.array(fc.record({ frame: fc.nat(0xffff_ffff), label: labels }), { maxLength: 20 });

/** Every chunk of a RIFF file as the specification lays it out, without the reader under test. */
function chunksOf(bytes: Uint8Array): Map<string, DataView> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  expect(view.getUint32(4, true)).toBe(bytes.length - 8);
  const chunks = new Map<string, DataView>();
  let at = 12;
  while (at < bytes.length) {
    const size = view.getUint32(at + 4, true);
    expect(at % 2).toBe(0);
    chunks.set(
      String.fromCharCode(...bytes.subarray(at, at + 4)),
      new DataView(bytes.buffer, bytes.byteOffset + at + 8, size),
    );
    at += 8 + size + (size % 2);
  }
  expect(at).toBe(bytes.length);
  return chunks;
}

const spelt = (view: DataView, at: number) => String.fromCharCode(...[0, 1, 2, 3].map((i) => view.getUint8(at + i)));

describe('cue points', () => {
  it('lie as the RIFF specification of 1991 lays them out', () => {
    const chunks = chunksOf(withCuePoints(wav, POINTS));
    expect([...chunks.keys()]).toEqual(['fmt ', 'data', 'cue ', 'LIST']);
    const cue = chunks.get('cue ')!;
    expect(cue.byteLength).toBe(4 + 3 * 24);
    expect(cue.getUint32(0, true)).toBe(3);
    const second = 4 + 24;
    // dwName, dwPosition, fccChunk, dwChunkStart, dwBlockStart, dwSampleOffset.
    expect([0, 4, 12, 16, 20].map((offset) => cue.getUint32(second + offset, true))).toEqual([2, 1234, 0, 0, 1234]);
    expect(spelt(cue, second + 8)).toBe('data');
    const list = chunks.get('LIST')!;
    expect(spelt(list, 0)).toBe('adtl');
    expect(spelt(list, 4)).toBe('labl');
    // dwName and "contact 1" with its zero: 14 bytes.
    expect(list.getUint32(8, true)).toBe(14);
    expect(list.getUint32(12, true)).toBe(1);
    expect(list.getUint8(16 + 9)).toBe(0);
  });

  it('come back as they went in, and the sound with them', async () => {
    await fc.assert(
      fc.asyncProperty(cues, async (points) => {
        const marked = withCuePoints(wav, points);
        expect(readCuePoints(marked)).toEqual(points);
        expect(await readSound(marked)).toEqual(await readSound(wav));
      }),
      { seed: 4, numRuns: 40 },
    );
  });

  it('leave the file readable for others', () => {
    const folder = mkdtempSync(join(tmpdir(), 'evenfall-cues-'));
    try {
      const file = join(folder, 'take.wav');
      writeFileSync(file, withCuePoints(wav, POINTS));
      const script =
        'import sys,wave; w=wave.open(sys.argv[1]); print(w.getnframes(), w.getframerate(), w.readframes(9999).hex())';
      const read = execFileSync('python3', ['-c', script, file]).toString().trim().split(' ');
      expect(read.slice(0, 2)).toEqual(['4801', '48000']);
      expect(read[2]).toBe(Buffer.from(samples.buffer).toString('hex'));
      const raw = execFileSync('sox', [file, '-t', 'raw', '-'], { stdio: ['ignore', 'pipe', 'pipe'] });
      expect(raw.equals(Buffer.from(samples.buffer))).toBe(true);
      const probe = execFileSync('ffprobe', [
        '-v',
        'error',
        '-show_entries',
        'stream=duration_ts',
        '-of',
        'csv=p=0',
        file,
      ]);
      expect(probe.toString().trim()).toBe('4801');
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it('refuses what the format cannot hold, by name', () => {
    const with1 = (frame: number, label = '') => withCuePoints(wav, [{ frame, label }]);
    for (const frame of [-1, 0.5, NaN, 2 ** 32]) expect(() => with1(frame)).toThrow(`frame ${frame}`);
    expect(() => with1(3, 'd\u00e9but')).toThrow('plain letters');
    expect(() => withCuePoints(with1(3), POINTS)).toThrow('expected none');
    expect(() => withCuePoints(Uint8Array.of(1, 2, 3), POINTS)).toThrow('no WAV file');
    expect(() => readCuePoints(new Uint8Array(20))).toThrow('no WAV file');
  });

  it('reads none where the file has none, or breaks off before them', () => {
    expect(readCuePoints(wav)).toEqual([]);
    expect(withCuePoints(wav, [])).toEqual(wav);
    const marked = withCuePoints(wav, POINTS);
    for (let cut = 12; cut < marked.length; cut += 7) {
      const read = readCuePoints(marked.subarray(0, cut));
      expect(read.length === 0 || read.length === POINTS.length).toBe(true);
    }
  });
});

describe('the cue points of a take', () => {
  const stroke = { kind: 'sounded', passage: 'slow', contactSeconds: 0.01, onsetSeconds: 0.05, timeSeconds: 0.05 };
  const strokes = [
    stroke,
    { ...stroke, contactSeconds: null, onsetSeconds: 0.06, timeSeconds: 0.06 },
    { ...stroke, kind: 'silent', passage: 'fast', contactSeconds: null, onsetSeconds: null, timeSeconds: 0.08 },
    { ...stroke, kind: 'double', passage: null, contactSeconds: null, onsetSeconds: 0.09, timeSeconds: 0.09 },
    { ...stroke, contactSeconds: 0.0995, onsetSeconds: 0.2, timeSeconds: 0.2 },
  ];
  const take = { sampleRate: 48_000, frames: 4801, heard: { strokes } } as unknown as Parameters<typeof takeCues>[0];

  it('stand at every contact and onset within the sound', () => {
    expect(takeCues(take)).toEqual([
      { frame: 480, label: 'contact 1' },
      { frame: 2400, label: 'onset 1 slow' },
      { frame: 2880, label: 'onset 2 slow' },
      { frame: 3840, label: 'silent 3 fast' },
      { frame: 4320, label: 'double 4' },
      { frame: 4776, label: 'contact 5' },
    ]);
  });
});
