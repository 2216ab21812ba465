/**
 * What an Ogg file holds, told by its first packet.
 *
 * Sources: the beginnings of first packets from each codec's mapping into Ogg: Vorbis I (4.2.1), RFC 7845 (Opus); the
 * others common practice.
 */

import { READABLE, spells } from './checks.ts';
import { readOggPages } from './oggPages.ts';
import { readOpus } from './opus.ts';
import { SoundFileError } from './sound.ts';
import type { Sound } from './sound.ts';
import { readVorbis } from './vorbis.ts';

/** Other content that is known to come in Ogg. */
const OTHER_CONTENT: readonly (readonly [string, string])[] = [
  ['Speex   ', 'Speex'],
  ['\x7fFLAC', 'FLAC inside Ogg'],
  ['\x80theora', 'a Theora film'],
  ['fishead\0', 'several streams (Skeleton)'],
];

/**
 * Reads an Ogg file with one stream of Vorbis or Opus.
 *
 * @param bytes - the whole file, beginning with `OggS`.
 * @throws SoundFileError `unsupported` (other content, several streams), and what `readVorbis` and `readOpus` throw.
 */
export async function readOgg(bytes: Uint8Array): Promise<Sound> {
  const stream = readOggPages(bytes);
  if (stream.pages.length === 0) {
    const { code, found } = stream.fault!;
    throw new SoundFileError(code, `after 0.000 s of sound, ${found}`, 'a whole Ogg file');
  }
  const [first] = stream.pages;
  const packet = first.packets[0] ?? first.body;
  if (spells(packet, 0, 'OpusHead')) return readOpus(stream);
  if (spells(packet, 0, '\x01vorbis')) return readVorbis(stream);
  const other = OTHER_CONTENT.find(([beginning]) => spells(packet, 0, beginning));
  throw new SoundFileError('unsupported', `an Ogg file with ${other ? other[1] : 'unknown content'}`, READABLE);
}
