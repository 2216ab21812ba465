/**
 * General-purpose tools on the same recordings, scored by the same comparer.
 *
 * Fairness: each tool's settings are scanned on the recordings of the condition it is judged on and the best by
 * F-measure is taken, separately for each noise; the tool's own overall delay is taken out before anything is counted;
 * pitch methods are told the true onsets. The project gets none of this.
 */

import { Macleod, YIN } from 'pitchfinder';
import { PitchDetector } from 'pitchy';
import { median } from '../../src/evaluation/distribution.ts';
import { matchOnsets, pooledRetrieval } from '../../src/evaluation/matching.ts';
import { scoreNames, type NamingScore } from '../../src/evaluation/naming.ts';
import { hertzToMidi } from '../../src/units.ts';
import { AUBIO_ONSET_SETTINGS, aubioNotes, aubioOnsets, aubioPitchTrack, wavOf, type AubioOnset } from './aubio.ts';
import { FLUX_DELTAS, fluxCurve, fluxPeaks } from './flux.ts';
import type { Recording } from './material.ts';
import { namedNotes, TOLERANCE_SECONDS, type HeardStroke } from './measure.ts';

/** What a tool heard in a list of recordings at its best setting. */
export interface PeerOnsets {
  readonly tool: string;
  readonly setting: string;
  readonly delaySeconds: number;
  readonly heard: readonly (readonly HeardStroke[])[];
}

/** A stroke of which only the onset and perhaps the name is known. */
function bare(onsetSeconds: number, midi: number | null = null): HeardStroke {
  return { kind: 'sounded', timeSeconds: onsetSeconds, onsetSeconds, midi, levelDb: null, doubt: [] };
}

const trueTimes = ({ strokes }: Recording): number[] =>
  strokes.filter(({ kind }) => kind === 'sounded').map(({ timeSeconds }) => timeSeconds);

/** The tool's overall delay against the reference: median over pairs within 50 ms. */
function delayOf(recordings: readonly Recording[], heard: readonly (readonly number[])[]): number {
  const errors = recordings.flatMap((recording, i) => {
    const truth = trueTimes(recording);
    return matchOnsets(truth, heard[i], 0.05).pairs.map((pair) => heard[i][pair.estimate] - truth[pair.reference]);
  });
  return errors.length ? median(errors) : 0;
}

const shifted = (times: readonly number[], delay: number): number[] => times.map((time) => Math.max(0, time - delay));

/** The best of some settings by F-measure within ±10 ms, on every third recording; then all recordings with it. */
function atBest<Setting>(
  tool: string,
  recordings: readonly Recording[],
  settings: readonly Setting[],
  name: (setting: Setting) => string,
  hear: (recording: Recording, setting: Setting) => number[],
): PeerOnsets {
  const scanned = recordings.filter((_, i) => i % 3 === 0);
  let best: { setting: Setting; f: number } | undefined;
  for (const setting of settings) {
    const heard = scanned.map((recording) => hear(recording, setting));
    const delay = delayOf(scanned, heard);
    const scores = scanned.map((recording, i) =>
      matchOnsets(trueTimes(recording), shifted(heard[i], delay), TOLERANCE_SECONDS),
    );
    const f = pooledRetrieval(scores).fMeasure ?? 0;
    if (!best || f > best.f) best = { setting, f };
  }
  const { setting } = best!;
  const heard = recordings.map((recording) => hear(recording, setting));
  const delaySeconds = delayOf(recordings, heard);
  return {
    tool,
    setting: name(setting),
    delaySeconds,
    heard: heard.map((times) => shifted(times, delaySeconds).map((time) => bare(time))),
  };
}

/** `aubioonset`, settings scanned. */
export function aubioAtBest(recordings: readonly Recording[]): PeerOnsets {
  return atBest(
    'aubioonset',
    recordings,
    AUBIO_ONSET_SETTINGS,
    ({ method, threshold, buffer, hop }: AubioOnset) => `${method}, threshold ${threshold}, ${buffer}/${hop}`,
    (recording, setting) => aubioOnsets(wavOf(recording), setting),
  );
}

/** Flux of meyda's spectra, threshold scanned. */
export function fluxAtBest(recordings: readonly Recording[]): PeerOnsets {
  const curves = new Map(recordings.map((recording) => [recording, fluxCurve(recording)]));
  return atBest(
    'flux (meyda)',
    recordings,
    FLUX_DELTAS,
    (delta) => `1024/256, delta ${delta}`,
    (recording, delta) => fluxPeaks(curves.get(recording)!, recording.sampleRate, delta),
  );
}

/** A pitch method: MIDI numbers with fraction of a recording's strokes; `null` where it finds none. */
export interface PitchPeer {
  readonly name: string;
  midisOf(recording: Recording): (number | null)[];
}

/** 170 ms at 48 kHz: what a low note needs, and the next power of two. */
const WINDOW = 8192;
const AFTER_ONSET_SECONDS = 0.03;

function perWindow(name: string, find: (window: Float32Array, sampleRate: number) => number | null): PitchPeer {
  return {
    name,
    midisOf: (recording) =>
      trueTimes(recording).map((time) => {
        const from = Math.round((time + AFTER_ONSET_SECONDS) * recording.sampleRate);
        const hertz = find(recording.samples.slice(from, from + WINDOW), recording.sampleRate);
        return hertz !== null && hertz > 0 ? hertzToMidi(hertz) : null;
      }),
  };
}

function perTrack(
  name: string,
  track: (recording: Recording) => { time: number; midi: number }[],
  after: number,
  until: number,
): PitchPeer {
  return {
    name,
    midisOf: (recording) => {
      const frames = track(recording);
      return trueTimes(recording).map((time) => {
        const own = frames.filter((f) => f.midi > 0 && f.time >= time + after && f.time <= time + until);
        return own.length ? median(own.map(({ midi }) => midi)) : null;
      });
    },
  };
}

/** The pitch methods that run in this process. */
export const LIBRARY_PITCH: readonly PitchPeer[] = [
  ...[0.1, 0.3].map((threshold) =>
    perWindow(`pitchfinder YIN, ${threshold}`, (window, sampleRate) => YIN({ sampleRate, threshold })(window)),
  ),
  perWindow('pitchfinder Macleod', (window, sampleRate) => {
    const found = Macleod({ sampleRate, bufferSize: WINDOW })(window);
    return found.probability > 0.5 ? found.freq : null;
  }),
  perWindow('pitchy MPM', (window, sampleRate) => {
    const [hertz, clarity] = PitchDetector.forFloat32Array(WINDOW).findPitch(window, sampleRate);
    return clarity > 0.5 ? hertz : null;
  }),
];

/** The pitch methods of aubio's tools. */
export const AUBIO_PITCH: readonly PitchPeer[] = [
  ...['yinfast', 'yinfft', 'mcomb'].flatMap((method) =>
    [4096, 8192].map((buffer) =>
      perTrack(
        `aubiopitch ${method}, ${buffer}`,
        (recording) => aubioPitchTrack(wavOf(recording), method, buffer),
        0.03 + buffer / 48_000,
        0.45,
      ),
    ),
  ),
  ...[null, 2048].map((buffer) =>
    perTrack(`aubionotes, ${buffer ?? 'defaults'}`, (recording) => aubioNotes(wavOf(recording), buffer), -0.03, 0.15),
  ),
];

/** Names by a pitch method: the nearest key, by majority of a note's strokes. */
export function scorePitchPeer(peer: PitchPeer, recordings: readonly Recording[]): NamingScore {
  return scoreNames(
    recordings.flatMap((recording) => {
      const times = trueTimes(recording);
      const heard = peer.midisOf(recording).map((midi, i) => {
        const key = midi === null ? null : Math.round(midi);
        return bare(times[i], key !== null && key >= 0 && key <= 127 ? key : null);
      });
      return namedNotes(recording, heard);
    }),
  );
}
