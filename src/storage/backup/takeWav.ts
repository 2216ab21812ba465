/**
 * A take's sound in a backup: WAV, 16 bit, mono, so that it can be listened to without this program; exactly the kept numbers.
 *
 * Written here and not by `soundfiles`, because what is kept must go into a backup whatever its rate, while the sound files are held
 * to the rates that analysis accepts. Samples are copied as the machine holds them: every machine that browsers run on is
 * little-endian, as WAV is.
 *
 * Source: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0 (1991), "Waveform Audio File Format".
 */

const HEADER_BYTES = 44;

/** The bytes of the file. The header's rate is whole; the exact one stands beside the sound, in the take. */
export function toWav(samples: Int16Array<ArrayBuffer>, sampleRate: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(HEADER_BYTES + samples.byteLength);
  bytes.set(header(samples.byteLength, sampleRate));
  bytes.set(new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength), HEADER_BYTES);
  return bytes;
}

/** The samples of such a file; null where it is none, or another rate's. */
export function fromWav(bytes: Uint8Array<ArrayBuffer>, sampleRate: number): Int16Array<ArrayBuffer> | null {
  const length = bytes.length - HEADER_BYTES;
  if (length < 0 || length % 2 !== 0) return null;
  if (header(length, sampleRate).some((byte, at) => byte !== bytes[at])) return null;
  return new Int16Array(bytes.buffer.slice(bytes.byteOffset + HEADER_BYTES, bytes.byteOffset + bytes.length));
}

function header(dataBytes: number, sampleRate: number): Uint8Array {
  const bytes = new Uint8Array(HEADER_BYTES);
  const view = new DataView(bytes.buffer);
  const name = (at: number, text: string) => [...text].forEach((letter, i) => (bytes[at + i] = letter.charCodeAt(0)));
  const rate = Math.round(sampleRate);
  name(0, 'RIFF');
  view.setUint32(4, HEADER_BYTES - 8 + dataBytes, true);
  name(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * 2, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  name(36, 'data');
  view.setUint32(40, dataBytes, true);
  return bytes;
}
