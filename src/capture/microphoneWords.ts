/** What is said of the microphone: why it cannot be opened, what it does to the sound, why listening stopped. */

import type { Microphone, Treatments } from './microphone.ts';
import type { EarState } from './earState.ts';

/** Title and text for a person, and what helps. */
export interface Words {
  readonly title: string;
  readonly text: string;
  readonly remedy: string;
}

export type MicrophoneErrorCode = 'refused' | 'none' | 'busy' | 'insecure' | 'gone';

export const MICROPHONE_ERRORS: Readonly<Record<MicrophoneErrorCode, Words>> = {
  refused: {
    title: 'The microphone is switched off for Evenfall',
    text: 'Nothing can be heard until you allow it in the browser’s site settings. You can still open a recording.',
    remedy: 'Allow the microphone for this page, then try again.',
  },
  none: {
    title: 'No microphone found',
    text: 'This device names no microphone. You can still open a recording.',
    remedy: 'Plug one in, or look whether the system hides it, then try again.',
  },
  busy: {
    title: 'The microphone does not answer',
    text: 'Another program holds it, or the system did not hand it over.',
    remedy: 'Close calls and recorders, then try again.',
  },
  insecure: {
    title: 'This address may not use the microphone',
    text: 'Browsers give the microphone only to pages that come over https, or from this computer itself.',
    remedy: 'Open Evenfall by its https address.',
  },
  gone: {
    title: 'The chosen microphone is not there',
    text: 'It was pulled out or switched off since it was chosen.',
    remedy: 'Plug it in again, or choose another.',
  },
};

const NAMES: Readonly<Record<keyof Treatments, string>> = {
  echo: 'echo cancellation',
  noise: 'noise suppression',
  gain: 'automatic gain',
};

/** What the treatments that stay on do to the measurement; null where none is known to be on. */
export function processedWords({ treatments, avoidable }: Pick<Microphone, 'treatments' | 'avoidable'>): Words | null {
  const on = (['noise', 'echo', 'gain'] as const).filter((name) => treatments[name] === 'on');
  if (on.length === 0) return null;
  const names = joined(on.map((name) => NAMES[name]));
  const stay = on.length === 1 ? 'stays' : 'stay';
  const fixed = avoidable.length === 0 ? ' and cannot be switched off here' : ' although this device could do without';
  const shapes = on.some((name) => name !== 'gain') ? ' Contacts may be lost.' : '';
  const effect = on.includes('gain')
    ? ' Loudness cannot be compared, so soft and weak strokes are not told apart; times and silent repeats still count.'
    : ' Repeats and loudness still count.';
  return {
    title: 'This microphone changes the sound',
    text: `${names[0].toUpperCase()}${names.slice(1)} ${stay} on${fixed}.${shapes}${effect}`,
    remedy: 'Choose another microphone, or go on.',
  };
}

/** What a headset or a narrow link does; null for other microphones. */
export function headsetWords({ headset, sampleRate }: Pick<Microphone, 'headset' | 'sampleRate'>): Words | null {
  if (!headset) return null;
  const narrow = sampleRate !== null && sampleRate <= 16_000;
  return {
    title: 'Bluetooth microphone: contacts cannot be trusted',
    text: narrow
      ? `It passes nothing above ${sampleRate / 2000} kHz and reshapes faint sounds.`
      : 'It reshapes faint sounds.',
    remedy:
      'Use the phone’s own microphone, 20 to 40 cm from the hands, on a stand or cloth beside the keys, or go on.',
  };
}

/** Why nothing is heard at present, and what helps; null while all is well. */
export function earWords(state: EarState): Words | null {
  switch (state) {
    case 'suspended':
      return {
        title: 'Listening stopped by the phone',
        text: 'A call or the screen took the microphone. Everything up to here is kept.',
        remedy: 'Come back to this page and touch it.',
      };
    case 'muted':
      return {
        title: 'The microphone is muted',
        text: 'A call or a switch on the device holds its sound back. Everything up to here is kept.',
        remedy: 'End the call, or switch the microphone on.',
      };
    case 'unplugged':
      return {
        title: 'The microphone is gone',
        text: 'It was pulled out or taken away. Everything up to here is kept.',
        remedy: 'Plug it in, then listen again; without it the device’s usual microphone is taken.',
      };
    case 'broken':
      return {
        title: 'Listening broke down',
        text: 'The part that listens stopped twice. Everything up to here is kept.',
        remedy: 'Listen again; if it happens once more, open this page anew.',
      };
    case 'starting':
    case 'listening':
    case 'closed':
      return null;
  }
}

function joined(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}
