import { describe, expect, it } from 'vitest';
import { readSound } from '../../src/soundfiles/index.ts';
import { oggChecksum } from '../../src/soundfiles/oggPages.ts';
import {
  expectSame,
  joined,
  latin,
  number,
  oggPage,
  packageFile,
  packageFiles,
  placesOf,
  refused,
  sealPage,
} from './material.ts';

const release = () => packageFile('piano-release', 'rel42.ogg');
const VORBIS = (channels: number, rate: number, blocks = 0xb8) =>
  joined(latin('\x01vorbis'), number(0, 4), [channels], number(rate, 4), new Uint8Array(12), [blocks, 1]);

/** The position that the last page states, read straight from its header (RFC 3533, section 6). */
const lastGranule = (bytes: Uint8Array) =>
  Number(new DataView(bytes.buffer).getBigInt64(placesOf(bytes, 'OggS').at(-1)! + 6, true));

/** A copy with the position of one page set anew. */
const moved = (bytes: Uint8Array, page: number, by: bigint) => {
  const copy = bytes.slice();
  const at = placesOf(copy, 'OggS').at(page)!;
  const view = new DataView(copy.buffer);
  view.setBigInt64(at + 6, view.getBigInt64(at + 6, true) + by, true);
  return sealPage(copy, at);
};

describe('Ogg Vorbis', () => {
  it.each(['piano-velocity4', 'piano-velocity8', 'piano-velocity12', 'piano-release'])(
    'decodes a spread of %s, exactly as long as the file says',
    async (pack) => {
      const files = packageFiles(pack);
      for (let i = 0; i < 5; i++) {
        const bytes = packageFile(pack, files[Math.floor((i * (files.length - 1)) / 4)]);
        const { sampleRate, channels } = await readSound(bytes);
        expect(sampleRate).toBe(48_000);
        expect(channels.map(({ length }) => length)).toEqual([lastGranule(bytes), lastGranule(bytes)]);
        expect(channels[0].length).toBeGreaterThan(0);
        const loudest = channels[0].reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
        expect(loudest).toBeGreaterThan(0.01);
        expect(loudest).toBeLessThan(1.5);
      }
    },
  );

  it('agrees with the checksums that the packages bear', () => {
    const bytes = release();
    const pages = placesOf(bytes, 'OggS');
    expect(pages.length).toBeGreaterThan(2);
    pages.forEach((at, i) => {
      const stated = new DataView(bytes.buffer).getUint32(at + 22, true);
      expect(oggChecksum(bytes, at, (pages[i + 1] ?? bytes.length) - at)).toBe(stated);
    });
  });

  it('cuts the end, cuts or offsets the start as positions say, without moving any sound', async () => {
    const bytes = packageFile('piano-velocity8', 'C8v8.ogg');
    const pages = placesOf(bytes, 'OggS').length;
    expect(pages).toBeGreaterThan(4);
    const whole = (await readSound(bytes)).channels[0];
    const shorter = (await readSound(moved(bytes, -1, -100n))).channels[0];
    expectSame(shorter, whole.subarray(0, whole.length - 100));
    // The first page of sound claims to end 50 frames earlier: those 50 lie before the start.
    let late = bytes;
    for (let page = 2; page < pages; page++) late = moved(late, page, -50n);
    expectSame((await readSound(late)).channels[0], whole.subarray(50));
    // A stream joined midway: all positions an hour on.
    let midway = bytes;
    for (let page = pages - 1; page >= 2; page--) midway = moved(midway, page, 172_800_000n);
    expectSame((await readSound(midway)).channels[0], whole);
  });

  it('refuses a longer length than the sound has', async () => {
    await refused(moved(release(), -1, 100_000n), 'damaged', /frames of \d+ announced/);
  });

  it('says truncated, with the seconds found, wherever the file is cut', async () => {
    const bytes = release();
    for (const share of [0.001, 0.01, 0.3, 0.6, 0.9, 0.9999]) {
      await refused(
        bytes.subarray(0, Math.max(4, Math.floor(share * bytes.length))),
        'truncated',
        /after \d\.\d{3} s of sound/,
      );
    }
    const pages = placesOf(bytes, 'OggS');
    await refused(bytes.subarray(0, pages.at(-1)), 'truncated', /page that ends the stream is missing/);
  });

  it('notices one bit turned anywhere, a page left out, doubled or foreign', async () => {
    const bytes = packageFile('piano-velocity4', 'C8v4.ogg');
    const pages = placesOf(bytes, 'OggS');
    for (let at = 4; at < bytes.length; at += Math.floor(bytes.length / 40)) {
      const copy = bytes.slice();
      copy[at] ^= 4;
      await refused(copy, 'damaged', /checksum|no Ogg page|breaks off/);
    }
    const without = joined(bytes.subarray(0, pages[3]), bytes.subarray(pages[4]));
    await refused(without, 'damaged', /page 3 of the stream is missing/);
    await refused(
      joined(bytes.subarray(0, pages[4]), bytes.subarray(pages[3])),
      'damaged',
      /page 4 of the stream is missing/,
    );
    await refused(joined(bytes.subarray(0, pages[3]), [1, 2, 3], bytes.subarray(pages[3])), 'damaged', /no Ogg page/);
    await refused(joined(bytes, bytes), 'unsupported', /several streams/);
    expectSame((await readSound(joined(bytes, [0, 0, 0]))).channels[1], (await readSound(bytes)).channels[1]);
  });

  it.each([
    ['Speex   1.2', /Speex/],
    ['\x7fFLAC\x01\x00', /FLAC inside Ogg/],
    ['\x80theora', /Theora/],
    ['fishead\0', /several streams/],
    ['somethin', /unknown content/],
  ])('refuses Ogg that holds %j by name', async (beginning, name) => {
    await refused(oggPage([latin(beginning)], 2, 0n, 7, 0), 'unsupported', name);
  });

  it('refuses headers that cannot be', async () => {
    const only = (packet: Uint8Array) => oggPage([packet], 2 | 4, 0n, 7, 0);
    await refused(only(VORBIS(0, 48_000)), 'bad-header', /0 channels/);
    await refused(only(VORBIS(1, 48_000, 0x8b)), 'bad-header', /2\^11 and 2\^8/);
    await refused(only(VORBIS(1, 48_000, 0xf8)), 'bad-header', /2\^15/);
    await refused(only(VORBIS(1, 4_000)), 'bad-rate', /4000 Hz/);
    await refused(only(VORBIS(1, 48_000).subarray(0, 20)), 'bad-header', /unknown form/);
    await refused(only(VORBIS(1, 48_000)), 'bad-header', /comment and setup/);
  });

  it('refuses a stream of headers only, and setup that cannot be decoded', async () => {
    const bytes = release();
    const pages = placesOf(bytes, 'OggS');
    const headers = bytes.slice(0, pages[2]);
    headers[pages[1] + 5] |= 4;
    await refused(sealPage(headers, pages[1]), 'empty', /without sound/);
    const spoilt = bytes.slice();
    spoilt.fill(0xaa, pages[2] - 500, pages[2] - 400);
    await refused(sealPage(spoilt, pages[1]), 'damaged', /cannot be decoded/);
  });
});
