/**
 * Sounds that Debian's programs make: speech by espeak-ng, instruments by FluidSynth with the FluidR3 sound font.
 *
 * What they made is kept in `.cache/sounds`, under a name that tells what was asked. One channel at the material's rate.
 * The sentences and tunes are made up here.
 */

import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readSound } from '../../src/soundfiles/index.ts';
import type { Chance } from './chance.ts';
import { resample } from './filters.ts';
import { SAMPLE_RATE } from './samples.ts';

/** The Debian packages needed here, and what each is known by. */
export const TOOLS = {
  'espeak-ng': ['/usr/bin/espeak-ng'],
  fluidsynth: ['/usr/bin/fluidsynth', '/usr/share/sounds/sf2/FluidR3_GM.sf2'],
} as const;
export type Tool = keyof typeof TOOLS;

/** Whether a tool and what it plays from are installed. */
export function toolPresent(tool: Tool): boolean {
  return TOOLS[tool].every((path) => existsSync(path));
}

const FOLDER = fileURLToPath(new URL('../../.cache/sounds/', import.meta.url));

/** The first channel of what `make` writes as WAV, kept for the next time. */
async function kept(asked: string, make: (path: string) => void): Promise<Float32Array> {
  mkdirSync(FOLDER, { recursive: true });
  const path = `${FOLDER}${createHash('sha256').update(asked).digest('hex').slice(0, 20)}.wav`;
  if (!existsSync(path)) {
    const own = `${path}.${process.pid}.wav`;
    make(own);
    renameSync(own, path);
  }
  const { channels, sampleRate } = await readSound(new Uint8Array(readFileSync(path)));
  if (sampleRate === SAMPLE_RATE) return channels[0];
  const step = sampleRate / SAMPLE_RATE;
  return resample(channels[0], 0, step, Math.floor(channels[0].length / step));
}

/** A voice of espeak-ng: name with variant, words a minute, pitch 0 to 99. */
export interface Voice {
  readonly voice: string;
  readonly speed: number;
  readonly pitch: number;
}

const SENTENCES: Readonly<Record<'en' | 'de' | 'fr', string>> = {
  en:
    'Right, I have taken the action out and the hammers look worn but not badly so. Could you play the A above middle C ' +
    'again, please? No, slower. Now fast, as fast as it will go. There, did you hear it? The third one hardly spoke. I ' +
    'think the rail has swollen; it has been a damp autumn. Mind the lid, it is not propped. One, two, three, four, and ' +
    'stop. I shall write that down: D sharp three, sluggish, look at it after lunch. Where did I put the small ' +
    'screwdriver? Somebody has parked in front of the gate. Take it once more from the bottom, octave by octave, and ' +
    'leave a pause between the notes. Good. Better. That is as even as it is going to get today.',
  de:
    'So, die Mechanik ist wieder drin, und jetzt spielen Sie bitte noch einmal das eingestrichene A, zuerst langsam, dann ' +
    'so schnell wie möglich. Eins, zwei, drei, vier. Nein, der dritte Anschlag kam zu spät. Reichen Sie mir bitte den ' +
    'kleinen Schraubenzieher? Danke. Im Sommer war das Holz trockener, da ging alles leichter. Wir machen nach der Pause weiter.',
  fr:
    'Bon, la mécanique est remise en place. Jouez encore une fois le la du milieu, doucement, puis très vite. Un, deux, trois, ' +
    'quatre. Le marteau retombe trop tard, vous entendez? Passez-moi le petit tournevis, il est sur la chaise. ' +
    'On reprendra après le déjeuner, quand la pièce sera plus calme.',
};

/** About a minute of a technician's talk. */
export function speech({ voice, speed, pitch }: Voice): Promise<Float32Array> {
  const language = voice.startsWith('de') ? 'de' : voice.startsWith('fr') ? 'fr' : 'en';
  const text = SENTENCES[language];
  return kept(`espeak-ng ${voice} ${speed} ${pitch} ${text}`, (path) =>
    execFileSync('espeak-ng', ['-v', voice, '-s', `${speed}`, '-p', `${pitch}`, '-w', path, text]),
  );
}

/** One note for FluidSynth, seconds. */
export interface PlayedNote {
  readonly at: number;
  readonly length: number;
  readonly midi: number;
  readonly velocity: number;
}

/** Notes on one instrument of the General MIDI list (from 0); `drums`: the program is a kit. */
export async function instrument(program: number, notes: readonly PlayedNote[], drums = false): Promise<Float32Array> {
  const file = midiFile(program, notes, drums);
  return kept(`fluidsynth ${Buffer.from(file).toString('base64')}`, (path) => {
    const midi = `${path}.mid`;
    writeFileSync(midi, file);
    const options = ['-n', '-i', '-q', '-R', '0', '-C', '0', '-g', '0.8', '-r', `${SAMPLE_RATE}`, '-F', path];
    execFileSync('fluidsynth', [...options, TOOLS.fluidsynth[1], midi], { stdio: 'ignore' });
    rmSync(midi);
  });
}

/** A Standard MIDI file of format 0, 960 ticks a second. */
function midiFile(program: number, notes: readonly PlayedNote[], drums: boolean): Uint8Array {
  const channel = drums ? 9 : 0;
  const events = notes
    .flatMap(({ at, length, midi, velocity }) => [
      { at, bytes: [0x90 | channel, midi, velocity] },
      { at: at + length, bytes: [0x80 | channel, midi, 0] },
    ])
    .sort((a, b) => a.at - b.at);
  const track: number[] = [0, 0xff, 0x51, 3, 0x07, 0xa1, 0x20, 0, 0xc0 | channel, program];
  let now = 0;
  for (const { at, bytes } of events) {
    const tick = Math.round(960 * at);
    track.push(...variableLength(tick - now), ...bytes);
    now = tick;
  }
  track.push(...variableLength(960), 0xff, 0x2f, 0);
  const word = (n: number): number[] => [(n >>> 24) & 255, (n >>> 16) & 255, (n >>> 8) & 255, n & 255];
  const ascii = (text: string): number[] => [...text].map((c) => c.charCodeAt(0));
  // 480 ticks to the quarter, two quarters a second.
  return Uint8Array.from([
    ...ascii('MThd'),
    ...word(6),
    0,
    0,
    0,
    1,
    480 >> 8,
    480 & 255,
    ...ascii('MTrk'),
    ...word(track.length),
    ...track,
  ]);
}

function variableLength(n: number): number[] {
  const bytes = [n & 127];
  for (let rest = n >> 7; rest > 0; rest >>= 7) bytes.unshift((rest & 127) | 128);
  return bytes;
}

/** A tune in a major key between two notes: steps and small leaps, quarters and eighths. */
export function tune(seconds: number, low: number, high: number, random: Chance): PlayedNote[] {
  const notes: PlayedNote[] = [];
  const steps = [0, 2, 4, 5, 7, 9, 11];
  const scale = Array.from({ length: high - low + 1 }, (_, i) => low + i).filter((m) => steps.includes((m - low) % 12));
  let place = Math.floor(scale.length / 2);
  for (let at = 0.5; at < seconds - 1;) {
    const length = random.pick([0.25, 0.25, 0.5, 0.5, 1]);
    place = Math.max(0, Math.min(scale.length - 1, place + random.pick([-2, -1, -1, 1, 1, 2, 3, -3])));
    notes.push({ at, length: 0.9 * length, midi: scale[place], velocity: Math.round(70 + 40 * random.uniform()) });
    at += length;
  }
  return notes;
}

/** What a take is like, on another instrument: notes one after the other, 8 slow and 12 fast strokes each. */
export function repeated(seconds: number, low: number, high: number, random: Chance): PlayedNote[] {
  const notes: PlayedNote[] = [];
  for (let at = 0.5; at < seconds - 11; at += 1.5) {
    const midi = low + Math.floor((high - low + 1) * random.uniform());
    for (let i = 0; i < 20; i++) {
      const step = (i < 8 ? 1 : 0.16) * (1 + 0.04 * random.normal());
      notes.push({ at, length: 0.6 * step, midi, velocity: Math.round(80 + 25 * random.uniform()) });
      at += step;
    }
  }
  return notes;
}

/** A beat on a kit: bass drum, snare, hats, now and then a tom or a cymbal. */
export function beat(seconds: number, random: Chance): PlayedNote[] {
  const notes: PlayedNote[] = [];
  const step = 0.2 + 0.1 * random.uniform();
  for (let i = 0; 0.5 + i * step < seconds - 1; i++) {
    const at = 0.5 + i * step + 0.004 * random.normal();
    const hit = (midi: number): void => {
      notes.push({ at, length: 0.1, midi, velocity: Math.round(75 + 45 * random.uniform()) });
    };
    hit(42);
    if (i % 4 === 0) hit(36);
    if (i % 4 === 2) hit(38);
    if (random.uniform() < 0.08) hit(random.pick([41, 45, 48, 50]));
    if (i % 32 === 0) hit(49);
  }
  return notes;
}
