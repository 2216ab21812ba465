/**
 * What a file is, told from its content; its name is never asked.
 *
 * Sources: the formats' own specifications for their first bytes (RIFF, RFC 9639 for FLAC, RFC 3533 for Ogg, ISO
 * 11172-3 for MPEG sound frames, ID3v2.4); the rest is common practice.
 */

import { browserSound } from './browserSound.ts';
import { READABLE, fourCharacters, spells } from './checks.ts';
import { SoundFileError } from './sound.ts';
import { afterTags } from './tags.ts';

/** A format that can be read, and where it begins in the file (behind an ID3 tag, for FLAC and MP3). */
export interface Recognised {
  readonly format: 'wav' | 'flac' | 'ogg' | 'mp3';
  readonly at: number;
}

type Known = readonly [at: number, text: string, name: string];

/** Sound that is not read. */
const OTHER_SOUND: readonly Known[] = [
  [0, 'caff', 'a CAF sound file'],
  [0, '.snd', 'an AU sound file'],
  [0, 'wvPk', 'a WavPack sound file'],
  [0, 'MAC ', "a Monkey's Audio file"],
  [0, '#!AMR', 'an AMR voice recording'],
  [0, 'ADIF', 'an AAC sound file'],
  [0, '\x30\x26\xb2\x75\x8e\x66\xcf\x11', 'a Windows Media file'],
];

/** What holds no recorded sound. */
const NO_SOUND: readonly Known[] = [
  [0, '\x89PNG', 'a PNG picture'],
  [0, '\xff\xd8\xff', 'a JPEG picture'],
  [0, 'GIF8', 'a GIF picture'],
  [0, 'PK\x03\x04', 'a ZIP archive'],
  [0, 'PK\x05\x06', 'an empty ZIP archive'],
  [0, '\x1f\x8b', 'a gzip archive'],
  [0, "7z\xbc\xaf'\x1c", 'a 7z archive'],
  [0, '%PDF', 'a PDF document'],
  [0, 'MThd', 'a MIDI file (notes, not sound)'],
];

/**
 * Tells what a file is.
 *
 * @throws SoundFileError `empty` for no bytes, `truncated` for the mere beginning of a readable format,
 *   `unsupported` for other sound, `not-audio` for anything else; each names what it is.
 */
export function recognise(bytes: Uint8Array): Recognised {
  if (bytes.length === 0) throw new SoundFileError('empty', 'an empty file', READABLE);
  if (['RIFF', 'RIFX', 'RF64', 'BW64'].some((id) => spells(bytes, 0, id))) return recogniseRiff(bytes);
  if (spells(bytes, 0, 'OggS')) return { format: 'ogg', at: 0 };
  const at = afterTags(bytes);
  if (spells(bytes, at, 'fLaC')) return { format: 'flac', at };
  if (bytes.length < 12) {
    throw new SoundFileError('not-audio', `a file of only ${bytes.length} bytes`, READABLE);
  }
  const mpeg = mpegSound(bytes, at);
  if (mpeg === 'mp3') return { format: 'mp3', at };
  const sound = otherSound(bytes) ?? mpeg;
  if (sound) throw new SoundFileError('unsupported', sound, READABLE);
  // What else bears such a tag is not in use; the reader says what is missing behind it.
  if (spells(bytes, 0, 'ID3')) return { format: 'mp3', at };
  throw new SoundFileError('not-audio', noSound(bytes), READABLE);
}

function recogniseRiff(bytes: Uint8Array): Recognised {
  if (bytes.length < 12) {
    throw new SoundFileError('truncated', `a WAV file of only ${bytes.length} bytes`, READABLE);
  }
  if (spells(bytes, 8, 'WAVE')) return { format: 'wav', at: 0 };
  const inside = fourCharacters(bytes, 8);
  if (inside === 'AVI ') throw new SoundFileError('unsupported', 'an AVI film', READABLE);
  throw new SoundFileError('not-audio', inside === 'WEBP' ? 'a WebP picture' : `a RIFF file of "${inside}"`, READABLE);
}

function otherSound(bytes: Uint8Array): string | null {
  if (spells(bytes, 0, 'FORM') && (spells(bytes, 8, 'AIFF') || spells(bytes, 8, 'AIFC'))) return 'an AIFF sound file';
  const foreign = browserSound(bytes);
  if (foreign) return foreign.name;
  return OTHER_SOUND.find(([at, text]) => spells(bytes, at, text))?.[2] ?? null;
}

/** MPEG sound without a container: sync word and fields that are not among the reserved ones. Layer III is `mp3`. */
function mpegSound(bytes: Uint8Array, at: number): 'mp3' | string | null {
  if (bytes[at] !== 0xff || (bytes[at + 1] & 0xe0) !== 0xe0) return null;
  const layer = (bytes[at + 1] >> 1) & 3;
  const version = (bytes[at + 1] >> 3) & 3;
  const plausible = version !== 1 && bytes[at + 2] >> 4 !== 15 && ((bytes[at + 2] >> 2) & 3) !== 3;
  if (layer === 0 || !plausible) return null;
  return layer === 1 ? 'mp3' : `an MPEG layer ${layer === 3 ? 'I' : 'II'} sound file`;
}

function noSound(bytes: Uint8Array): string {
  const known = NO_SOUND.find(([at, text]) => spells(bytes, at, text));
  if (known) return known[2];
  const beginning = bytes.subarray(0, 512);
  if (beginning.every((byte) => byte === 0)) return 'a file that begins with nothing but zero bytes';
  if (beginning.every((byte) => byte >= 0x20 || (byte >= 0x09 && byte <= 0x0d))) return textInWords(beginning);
  const hex = Array.from(bytes.subarray(0, 8), (byte) => byte.toString(16).padStart(2, '0')).join(' ');
  return `unknown content beginning with the bytes ${hex}`;
}

/** Bytes without control characters are text in one encoding or another; its ASCII part is enough to name it. */
function textInWords(beginning: Uint8Array): string {
  const text = Array.from(beginning, (byte) => (byte < 0x7f ? String.fromCharCode(byte) : '?'))
    .join('')
    .replace(/^\?+/, '')
    .trim();
  if (/^(<!doctype html|<html)/i.test(text)) return 'a web page (HTML)';
  if (text.startsWith('<')) return 'an XML or SVG document';
  return `a text beginning "${text.replace(/\s+/g, ' ').slice(0, 40)}"`;
}
