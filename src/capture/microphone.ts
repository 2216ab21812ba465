/**
 * The device's microphones: which there are, opening one as plainly as the browser allows, and what it does to the sound.
 *
 * Asked for are one channel and no treatment at all; the sample rate is the device's own. What was granted is read back from
 * the track, because asking is no promise. Sources: W3C Media Capture and Streams (getUserMedia, getSettings,
 * getCapabilities); its extensions for `voiceIsolation`.
 */

import type { Hertz } from '../units.ts';
import { MICROPHONE_ERRORS, type MicrophoneErrorCode } from './microphoneWords.ts';

/** A microphone that can be chosen. */
export interface MicrophoneChoice {
  /** The browser's name for it, kept for this page's address; empty before permission was given. */
  readonly deviceId: string;
  /** What the system calls it; null before permission was given. */
  readonly label: string | null;
}

/** `unknown`: the browser does not say. */
export type Treatment = 'off' | 'on' | 'unknown';

/** What the device or the browser does to the sound; `noise` includes isolating a voice. */
export interface Treatments {
  readonly echo: Treatment;
  readonly noise: Treatment;
  readonly gain: Treatment;
}

/** A microphone that is open. */
export interface Microphone {
  readonly stream: MediaStream;
  readonly track: MediaStreamTrack;
  readonly deviceId: string | null;
  readonly label: string | null;
  /** The device's own rate; null where the browser does not say. */
  readonly sampleRate: Hertz | null;
  /** Channels that the device delivers, whatever was asked. */
  readonly channels: number | null;
  readonly treatments: Treatments;
  /** Treatments that are on although the device could do without: another browser or setting may cure them. */
  readonly avoidable: readonly (keyof Treatments)[];
  /** A rate up to 16 kHz, or a name with a word like "headset": contacts cannot be trusted. */
  readonly headset: boolean;
}

/** Why no microphone could be opened, in words for a person. */
export class MicrophoneError extends Error {
  override readonly name = 'MicrophoneError';
  readonly title: string;
  readonly text: string;
  readonly remedy: string;
  constructor(
    readonly code: MicrophoneErrorCode,
    cause?: unknown,
  ) {
    const words = MICROPHONE_ERRORS[code];
    super(`${words.title}. ${words.text}`, { cause });
    this.title = words.title;
    this.text = words.text;
    this.remedy = words.remedy;
  }
}

/** Up to here a rate is that of a telephone link: half of it is the highest sound that passes. */
const NARROW_BAND: Hertz = 16_000;
const HEADSET_WORDS = /bluetooth|hands?[- ]?free|head-?set|head-?phone|ear-?phone|ear-?bud|wireless/i;

/** In what is asked and read, and not yet in the compiler's declarations. */
interface VoiceIsolation {
  readonly voiceIsolation?: boolean;
}

/**
 * The microphones that can be chosen, in the system's order. Names are known only once one has been opened.
 * @throws MicrophoneError `insecure` (as a rejection) where the page may not ask at all.
 */
export async function listMicrophones(): Promise<readonly MicrophoneChoice[]> {
  const devices = await mediaDevices().enumerateDevices();
  return devices
    .filter(({ kind }) => kind === 'audioinput')
    .map(({ deviceId, label }) => ({ deviceId, label: label === '' ? null : label }));
}

/**
 * Calls back whenever a device was plugged in or pulled out; returns what ends it.
 * @throws MicrophoneError `insecure` where the page may not ask at all.
 */
export function watchMicrophones(changed: () => void): () => void {
  const devices = mediaDevices();
  devices.addEventListener('devicechange', changed);
  return () => devices.removeEventListener('devicechange', changed);
}

/**
 * Opens a microphone; the browser may ask the person first.
 * @param deviceId from {@link listMicrophones}; null for the system's usual one
 * @throws MicrophoneError (as a rejection), see its codes.
 */
export async function openMicrophone(deviceId: string | null): Promise<Microphone> {
  const wanted: MediaTrackConstraints & VoiceIsolation = {
    channelCount: 1,
    echoCancellation: false,
    noiseSuppression: false,
    autoGainControl: false,
    voiceIsolation: false,
    ...(deviceId ? { deviceId: { exact: deviceId } } : {}),
  };
  const devices = mediaDevices();
  let stream: MediaStream;
  try {
    stream = await devices.getUserMedia({ audio: wanted });
  } catch (cause) {
    const code = codeOf(cause, deviceId !== null);
    if (code === null) throw cause;
    throw new MicrophoneError(code, cause);
  }
  return described(stream);
}

/** Lets go of the device: its light goes out. */
export function closeMicrophone({ stream }: Microphone): void {
  for (const track of stream.getTracks()) track.stop();
}

/** Whether the device is still among those that the browser lists. */
export async function isPluggedIn({ deviceId }: Microphone): Promise<boolean> {
  const choices = await listMicrophones();
  return deviceId === null || choices.some((choice) => choice.deviceId === deviceId);
}

/** Whether a microphone is likely a headset's or another narrow link, by its rate and its name. */
export function isHeadset(sampleRate: Hertz | null, label: string | null): boolean {
  return (sampleRate !== null && sampleRate <= NARROW_BAND) || HEADSET_WORDS.test(label ?? '');
}

/** Says of a setting as the track gives it whether the treatment is on; newer browsers name its kind instead of `true`. */
export function treatmentOf(setting: unknown): Treatment {
  if (setting === undefined || setting === null) return 'unknown';
  return setting === false ? 'off' : 'on';
}

function described(stream: MediaStream): Microphone {
  const track = stream.getAudioTracks()[0];
  const settings: MediaTrackSettings & VoiceIsolation = track.getSettings();
  // Not every browser has it.
  const capabilities: MediaTrackCapabilities =
    typeof track.getCapabilities === 'function' ? track.getCapabilities() : {};
  const label = track.label === '' ? null : track.label;
  const sampleRate = settings.sampleRate ?? null;
  const suppression = treatmentOf(settings.noiseSuppression);
  const treatments: Treatments = {
    echo: treatmentOf(settings.echoCancellation),
    noise: settings.voiceIsolation === true ? 'on' : suppression,
    gain: treatmentOf(settings.autoGainControl),
  };
  const canBeOff = (able: readonly unknown[] | undefined): boolean => able?.includes(false) ?? false;
  const able = {
    echo: canBeOff(capabilities.echoCancellation),
    noise: suppression === 'on' && canBeOff(capabilities.noiseSuppression),
    gain: canBeOff(capabilities.autoGainControl),
  };
  return {
    stream,
    track,
    deviceId: settings.deviceId ?? null,
    label,
    sampleRate,
    channels: settings.channelCount ?? null,
    treatments,
    avoidable: (['echo', 'noise', 'gain'] as const).filter((name) => treatments[name] === 'on' && able[name]),
    headset: isHeadset(sampleRate, label),
  };
}

function mediaDevices(): MediaDevices {
  // Absent outside a secure context, whatever the declarations say.
  const devices = navigator.mediaDevices as MediaDevices | undefined;
  if (!devices) throw new MicrophoneError('insecure');
  return devices;
}

/** The code of what `getUserMedia` threw; null for what is no fault of device or permission. */
function codeOf(cause: unknown, named: boolean): MicrophoneErrorCode | null {
  switch (cause instanceof DOMException ? cause.name : '') {
    case 'NotAllowedError':
      return 'refused';
    case 'SecurityError':
      return 'insecure';
    case 'NotFoundError':
      return named ? 'gone' : 'none';
    case 'OverconstrainedError':
      return 'gone';
    case 'NotReadableError':
    case 'AbortError':
      return 'busy';
    default:
      return null;
  }
}
