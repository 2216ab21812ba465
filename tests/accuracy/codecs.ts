/**
 * What lossy compression does to the measures: the same practice recording analysed from PCM and from the coded file,
 * stroke by stroke.
 *
 * Encoders are other people's command line tools; a row whose tool is missing is named, not left out in silence. MP3,
 * Opus and Vorbis are decoded by the project's own readers; AAC, which it does not decode, by ffmpeg.
 */

import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyse } from '../../src/analysis/analyse.ts';
import { matchOnsets } from '../../src/evaluation/matching.ts';
import { readSound, writeWav } from '../../src/soundfiles/index.ts';
import type { Stroke } from '../../src/strokes/types.ts';
import { makePractice, type Practice, type TrueStroke } from '../../src/synthesis/practice.ts';
import { PAIRING_SECONDS } from './measure.ts';
import { rms } from './room.ts';

/** One way of compressing. */
export interface Codec {
  readonly name: string;
  readonly tools: readonly string[];
  /** Ending of the coded file. */
  readonly ending: string;
  readonly encode: (wav: string, to: string) => readonly [tool: string, ...rest: string[]];
  /** Whether ffmpeg has to decode it. */
  readonly isForeign?: boolean;
}

const ffmpeg = (from: string, ...rest: string[]) => ['ffmpeg', '-v', 'error', '-y', '-i', from, ...rest] as const;

export const CODECS: readonly Codec[] = [
  ...[128, 192, 320].map((rate): Codec => ({
    name: `MP3, LAME, ${rate} kbit/s`,
    tools: ['lame'],
    ending: 'mp3',
    encode: (wav, to) => ['lame', '--quiet', '--cbr', '-b', `${rate}`, wav, to],
  })),
  ...[64, 96, 128].map((rate): Codec => ({
    name: `Opus, ${rate} kbit/s`,
    tools: ['opusenc'],
    ending: 'opus',
    encode: (wav, to) => ['opusenc', '--quiet', '--bitrate', `${rate}`, wav, to],
  })),
  ...[128, 192].map((rate): Codec => ({
    name: `AAC, ffmpeg, ${rate} kbit/s`,
    tools: ['ffmpeg'],
    ending: 'm4a',
    encode: (wav, to) => ffmpeg(wav, '-c:a', 'aac', '-b:a', `${rate}k`, to),
    isForeign: true,
  })),
  {
    name: 'Vorbis, quality 5',
    tools: ['ffmpeg'],
    ending: 'ogg',
    encode: (wav, to) => ffmpeg(wav, '-c:a', 'libvorbis', '-q:a', '5', to),
  },
];

/** The tools of a codec that cannot be run here. */
export function missingTools({ tools }: Codec): string[] {
  return tools.filter((tool) => spawnSync(tool, ['--version']).error !== undefined);
}

/** A recording compressed and decoded again. @throws Error if the length or the rate did not survive. */
export async function throughCodec(samples: Float32Array, sampleRate: number, codec: Codec): Promise<Float32Array> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfall-codecs-'));
  try {
    const wav = join(folder, 'before.wav');
    const coded = join(folder, `coded.${codec.ending}`);
    writeFileSync(wav, writeWav([samples], sampleRate, 'int16'));
    run(codec.encode(wav, coded));
    let file = coded;
    if (codec.isForeign) {
      file = join(folder, 'after.wav');
      run(ffmpeg(coded, '-c:a', 'pcm_f32le', file));
    }
    const after = await readSound(new Uint8Array(readFileSync(file)));
    // ffmpeg ends AAC with a whole block, a little behind or before the end.
    const off = Math.abs(after.channels[0].length - samples.length);
    if (after.sampleRate !== sampleRate || off > (codec.isForeign ? 1024 : 0)) {
      const found = `${after.channels[0].length} samples at ${after.sampleRate} Hz`;
      throw new Error(`${codec.name}: ${found}; expected ${samples.length} at ${sampleRate} Hz, as before`);
    }
    const decoded = new Float32Array(samples.length);
    decoded.set(after.channels[0].subarray(0, samples.length));
    return decoded;
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function run([tool, ...rest]: readonly [string, ...string[]]): void {
  execFileSync(tool, rest);
}

/** The keys that are played, A0 to C8 in steps of about eight, and the practice takes of one of them each. */
export const CODEC_KEYS = [24, 33, 40, 48, 55, 60, 67, 72, 79, 88, 96, 103];

/** A key's practice take, at the quantisation of the WAV file that is compressed. */
export function practiceOf(midi: number): Practice {
  const passages = [
    { kind: 'slow', strokes: 10 },
    { kind: 'fast', strokes: 12 },
    { kind: 'gentle', strokes: 4 },
  ] as const;
  const practice = makePractice({ variant: 'judging', sampleRate: 48_000, notes: [{ midi, passages }] }, 900 + midi);
  const samples = practice.samples.map((x) => Math.round(Math.max(-1, Math.min(1, x)) * 32767) / 32768);
  return { ...practice, samples };
}

/** Strokes as the analysis hears them. */
export function strokesOf(samples: Float32Array, sampleRate: number): readonly Stroke[] {
  const durationSeconds = samples.length / sampleRate;
  return analyse(samples, { file: 'practice', sampleRate, channels: 1, durationSeconds }).strokes;
}

/** What of a stroke is compared. */
export type ComparedStroke = Pick<Stroke, 'kind' | 'onsetSeconds' | 'contactSeconds'>;

/** What compression changed, over one or several recordings. Seconds. */
export interface CodecChanges {
  /** Sounded strokes that the truth knows: in both, in PCM alone, in the coded file alone. */
  readonly both: number;
  readonly lost: number;
  readonly gained: number;
  /** Strokes that the truth does not know. */
  readonly inventedInPcm: number;
  readonly inventedInCoded: number;
  /** Coded minus PCM, of the strokes in both. */
  readonly onsetShifts: readonly number[];
  /** The same of finger-key contacts, where both had one. */
  readonly contactShifts: readonly number[];
  /** Of the strokes in both: a contact in PCM, in PCM alone, in the coded file alone. */
  readonly contacts: number;
  readonly contactsLost: number;
  readonly contactsGained: number;
  /** Contacts said where the truth has none that sounded. */
  readonly falseInPcm: number;
  readonly falseInCoded: number;
  /** Strokes in both whose true contact made no sound. */
  readonly inaudible: number;
}

/** Compares the strokes of one recording, heard from PCM and from the coded file, beside its truth. */
export function compareStrokes(
  pcm: readonly ComparedStroke[],
  coded: readonly ComparedStroke[],
  truth: readonly Pick<TrueStroke, 'onsetSeconds' | 'contactAudible'>[],
): CodecChanges {
  const before = sounded(pcm);
  const after = sounded(coded);
  const real = truth.filter(({ onsetSeconds }) => onsetSeconds !== null);
  const onsets = (list: readonly { onsetSeconds: number | null }[]) => list.map(({ onsetSeconds }) => onsetSeconds!);
  const matching = matchOnsets(onsets(before), onsets(after), PAIRING_SECONDS);
  const trueOf = (list: readonly ComparedStroke[]) => {
    const { pairs } = matchOnsets(onsets(real), onsets(list), PAIRING_SECONDS);
    return new Map(pairs.map(({ reference, estimate }) => [estimate, real[reference]]));
  };
  const trueBefore = trueOf(before);
  const trueAfter = trueOf(after);
  const known = matching.pairs.filter(({ reference }) => trueBefore.has(reference));
  const pairs = known.map(({ reference, estimate }) => ({
    pcm: before[reference],
    coded: after[estimate],
    inaudible: !trueBefore.get(reference)!.contactAudible,
  }));
  const count = (fits: (pair: (typeof pairs)[number]) => boolean) => pairs.filter(fits).length;
  return {
    both: pairs.length,
    lost: matching.missed.filter((index) => trueBefore.has(index)).length,
    gained: matching.extra.filter((index) => trueAfter.has(index)).length,
    inventedInPcm: before.length - trueBefore.size,
    inventedInCoded: after.length - trueAfter.size,
    onsetShifts: pairs.map((pair) => pair.coded.onsetSeconds! - pair.pcm.onsetSeconds!),
    contactShifts: pairs.flatMap((pair) =>
      pair.pcm.contactSeconds === null || pair.coded.contactSeconds === null
        ? []
        : [pair.coded.contactSeconds - pair.pcm.contactSeconds],
    ),
    contacts: count((pair) => pair.pcm.contactSeconds !== null),
    contactsLost: count((pair) => pair.pcm.contactSeconds !== null && pair.coded.contactSeconds === null),
    contactsGained: count((pair) => pair.pcm.contactSeconds === null && pair.coded.contactSeconds !== null),
    falseInPcm: count((pair) => pair.inaudible && pair.pcm.contactSeconds !== null),
    falseInCoded: count((pair) => pair.inaudible && pair.coded.contactSeconds !== null),
    inaudible: count((pair) => pair.inaudible),
  };
}

function sounded(strokes: readonly ComparedStroke[]): ComparedStroke[] {
  return strokes
    .filter(({ kind, onsetSeconds }) => kind === 'sounded' && onsetSeconds !== null)
    .sort((a, b) => a.onsetSeconds! - b.onsetSeconds!);
}

/** Several recordings counted together. */
export function pooledChanges(parts: readonly CodecChanges[]): CodecChanges {
  const sum = (of: (part: CodecChanges) => number) => parts.reduce((total, part) => total + of(part), 0);
  return {
    both: sum((part) => part.both),
    lost: sum((part) => part.lost),
    gained: sum((part) => part.gained),
    inventedInPcm: sum((part) => part.inventedInPcm),
    inventedInCoded: sum((part) => part.inventedInCoded),
    onsetShifts: parts.flatMap((part) => part.onsetShifts),
    contactShifts: parts.flatMap((part) => part.contactShifts),
    contacts: sum((part) => part.contacts),
    contactsLost: sum((part) => part.contactsLost),
    contactsGained: sum((part) => part.contactsGained),
    falseInPcm: sum((part) => part.falseInPcm),
    falseInCoded: sum((part) => part.falseInCoded),
    inaudible: sum((part) => part.inaudible),
  };
}

const PRE_ECHO_SECONDS = 0.02;
const GUARD_SECONDS = 0.001;
/** So much earlier stands, on slow strokes, what the codec adds without any attack near. */
const EARLIER_SECONDS = 0.1;

/** What a codec added before one onset, over what stood there, dB; and the same a tenth of a second earlier. */
export interface PreEcho {
  readonly before: number;
  readonly earlier: number;
}

/**
 * What the codec put into the 20 ms before each onset of slow and gentle strokes (less the last one, which the attack's
 * own filters reach): its difference from PCM over what stood there. Room, key and noise are in what stood there.
 */
export function preEchoes(pcm: Float32Array, coded: Float32Array, { truth, sampleRate }: Practice): PreEcho[] {
  const error = coded.map((sample, i) => sample - pcm[i]);
  const length = Math.round((PRE_ECHO_SECONDS - GUARD_SECONDS) * sampleRate);
  const added = (end: number) => {
    const from = Math.round(end * sampleRate) - length;
    return 20 * Math.log10(rms(error, from, length) / rms(pcm, from, length));
  };
  return truth.strokes.flatMap(({ onsetSeconds, passage }) => {
    if (onsetSeconds === null || passage === 'fast') return [];
    const end = onsetSeconds - GUARD_SECONDS;
    return [{ before: added(end), earlier: added(end - EARLIER_SECONDS) }];
  });
}
