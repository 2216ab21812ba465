/** The strokes of a take as cue points: each contact and each onset, as heard. */

import type { Take } from '../record/types.ts';
import type { CuePoint } from './cuePoints.ts';

type Heard = Pick<Take, 'sampleRate' | 'frames' | 'heard'>;

/**
 * Cue points in order of time: "contact 3" where finger and key met, "onset 3 slow" where hammer and string met, "silent 4 fast" at its
 * place in the beat where the string did not speak, "double 5". Strokes are numbered as in the take's document; places outside
 * the sound are left out.
 */
export function takeCues({ sampleRate, frames, heard }: Heard): CuePoint[] {
  const points = heard.strokes.flatMap(({ kind, passage, contactSeconds, onsetSeconds, timeSeconds }, i) => {
    const what = kind === 'sounded' ? 'onset' : kind;
    const at = kind === 'silent' ? timeSeconds : onsetSeconds;
    return [
      ...(contactSeconds === null ? [] : [{ seconds: contactSeconds, label: `contact ${i + 1}` }]),
      ...(at === null ? [] : [{ seconds: at, label: `${what} ${i + 1}${passage === null ? '' : ` ${passage}`}` }]),
    ];
  });
  return points
    .map(({ seconds, label }) => ({ frame: Math.round(seconds * sampleRate), label }))
    .filter(({ frame }) => frame >= 0 && frame < frames)
    .sort((a, b) => a.frame - b.frame);
}
