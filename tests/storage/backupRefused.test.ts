/** Backups that are not taken: cut off, changed, newer, too large, stopped. Nothing is changed by any of them. */

import { afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { RECORD_VERSION } from '../../src/record/types.ts';
import { readBackup } from '../../src/storage/backup/readBackup.ts';
import { ZipWriting } from '../../src/storage/backup/zipWriting.ts';
import { openZip } from '../../src/storage/backup/zipReading.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import { StoreError, type Store } from '../../src/storage/store.ts';
import { addVisit, allOf, backupOf, flipped, MADE_AT, storeWithVisits } from './backupMaterial.ts';
import { browser } from './stores.ts';

let bytes: Uint8Array<ArrayBuffer>;
let here: Store;
let before: unknown;
beforeAll(async () => {
  bytes = new Uint8Array(await (await backupOf(await storeWithVisits(['v1', 'v2', 'v3']))).arrayBuffer());
  here = await browser();
  await addVisit(here, 'v8', [[30, 40]]);
  await addVisit(here, 'v1', [[300, 400]]);
  before = await allOf(here);
});
afterEach(() => vi.restoreAllMocks());

/** Why the file is refused; nothing is changed by that. */
async function refusal(file: Blob): Promise<StoreError> {
  const error = await readBackup(here, file).then(
    () => null,
    (failure: unknown) => failure,
  );
  if (!(error instanceof StoreError)) throw new Error('it was not refused', { cause: error });
  expect(error.message).toMatch(/Nothing was changed here\.$/);
  return error;
}

/** The same files in a ZIP, some of them changed. */
async function rewritten(change: (name: string, text: string) => string): Promise<Blob> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  const zip = new ZipWriting({ write: async (each) => void parts.push(each) }, MADE_AT);
  const read = await openZip(new Blob([bytes]));
  for (const entry of read.entries) {
    const own = await read.read(entry);
    const text = entry.name.endsWith('.json') ? change(entry.name, new TextDecoder().decode(own)) : null;
    let changed = text === null ? own : new TextEncoder().encode(text);
    if (entry.name === 'manifest.json') {
      const manifest = JSON.parse(text!) as { files: unknown };
      // Its own list is brought up to date, so that only the change itself is left to be seen.
      manifest.files = zip.entries.map(({ name, size, packed }, i) => [name, size, packed, zip.packedCrcs[i]]);
      changed = new TextEncoder().encode(JSON.stringify(manifest));
    }
    await zip.add(entry.name, changed, entry.method === 8);
  }
  await zip.end();
  return new Blob(parts);
}

describe('a damaged backup', () => {
  it('is refused wherever it was cut off, saying where', async () => {
    const said = new Set<string>();
    for (let end = 0; end < bytes.length; end += end < bytes.length - 900 ? 211 : 17) {
      const { code, message } = await refusal(new Blob([bytes.subarray(0, end)]));
      expect(code).toBe('damaged');
      said.add(message);
    }
    for (const visit of [1, 2, 3]) {
      expect(said).toContain(`It ends in the middle of visit ${visit}. Nothing was changed here.`);
    }
    expect([...said].filter((message) => !/^It (ends |is no backup)/.test(message))).toEqual([]);
    expect(await allOf(here)).toEqual(before);
  });

  it('is refused whichever byte was changed', async () => {
    const tail = bytes.length - 120;
    let tried = 0;
    for (let at = 0; at < bytes.length; at += at < 400 || at > tail ? 1 : 101) {
      const { code } = await refusal(flipped(bytes, at, 1 << (at % 8)));
      expect(['damaged', 'newer']).toContain(code);
      tried++;
    }
    expect(tried).toBeGreaterThan(550);
    expect(await allOf(here)).toEqual(before);
  });

  it('says what of it is damaged', async () => {
    const { entries } = await openZip(new Blob([bytes]));
    const inside = (name: string) => {
      const entry = entries.find((each) => each.name === name)!;
      return flipped(bytes, entry.offset + 30 + name.length + entry.packed - 1, 0x10);
    };
    const words = async (file: Blob) => (await refusal(file)).message.replace(' Nothing was changed here.', '');
    expect(await words(inside('visits/2/takes/1.wav'))).toBe('The sound of take 1 in visit 2 is damaged.');
    expect(await words(inside('visits/3/gauges/1.json'))).toBe('Gauge reading 1 in visit 3 is damaged.');
    expect(await words(new Blob([bytes, 'x']))).toBe('It ends within its list of contents.');
    expect(await words(new Blob(['RIFF, or anything else that is no ZIP']))).toBe('It is no backup of Evenfall.');
    expect(await words(new Blob([]))).toBe('It is no backup of Evenfall.');
    expect(await allOf(here)).toEqual(before);
  });

  it('is refused where a thing is none of the record, though every checksum is right', async () => {
    const wrong = await rewritten((name, text) =>
      name === 'visits/3/visit.json' ? text.replace('"startedAt":"2026', '"startedAt":"Monday, 2026') : text,
    );
    expect(await refusal(wrong)).toMatchObject({ code: 'damaged', message: /^Visit "v3": "startedAt" is "Monday/ });
    const twice = await rewritten((name, text) =>
      name === 'visits/3/visit.json' ? text.replace('"v3"', '"v2"') : text,
    );
    expect(await refusal(twice)).toMatchObject({ message: /^It holds visit 3 twice/ });
    const silent = await rewritten((name, text) =>
      name === 'visits/2/takes/2.json' ? text.replace('"pieces":1', '"pieces":0') : text,
    );
    expect(await refusal(silent)).toMatchObject({
      message: /^Take 2 in visit 2 has 500 samples of sound; expected none/,
    });
    const fewer = await rewritten((name, text) =>
      name === 'manifest.json' ? text.replace('"takes":6', '"takes":7') : text,
    );
    expect(await refusal(fewer)).toMatchObject({ message: /^Its list of contents does not fit/ });
    expect(await allOf(here)).toEqual(before);
    // And unchanged, what was rewritten is a backup.
    expect((await readBackup(memoryStore(), await rewritten((_, text) => text))).broughtIn.takes).toBe(6);
  });
});

describe('a newer backup', () => {
  it.each([
    ['form', 'manifest.json', '"evenfall.backup/1"', '"evenfall.backup/2"'],
    ['record', 'manifest.json', `"recordVersion":${RECORD_VERSION}`, `"recordVersion":${RECORD_VERSION + 1}`],
    ['thing', 'visits/1/takes/1.json', `"recordVersion":${RECORD_VERSION}`, `"recordVersion":${RECORD_VERSION + 1}`],
  ])('is refused as newer by its %s', async (_, file, old, newer) => {
    const changed = await rewritten((name, text) => (name === file ? text.replace(old, newer) : text));
    expect(await refusal(changed)).toMatchObject({
      code: 'newer',
      message: 'This backup comes from a newer Evenfall. Nothing was changed here.',
      remedy: 'Update this app first.',
    });
    expect(await allOf(here)).toEqual(before);
  });
});

describe('a backup that cannot be brought in to the end', () => {
  it('is refused where its sound does not fit', async () => {
    vi.spyOn(here, 'room').mockResolvedValue({ used: 10_000_000, left: 1000 });
    expect(await refusal(new Blob([bytes]))).toMatchObject({ code: 'full', message: /needs 1 MB, and 1 MB are left/ });
    expect(await allOf(here)).toEqual(before);
  });

  it('leaves nothing behind when the store fails in its midst, or in the last step', async () => {
    const addPiece = here.addPiece;
    let added = 0;
    vi.spyOn(here, 'addPiece').mockImplementation((piece) =>
      ++added > 3 ? Promise.reject(new StoreError('full', 'no room', 'make room')) : addPiece(piece),
    );
    await expect(readBackup(here, new Blob([bytes]))).rejects.toMatchObject({ code: 'full' });
    expect(added).toBe(4);
    expect(await allOf(here)).toEqual(before);
    vi.restoreAllMocks();

    const put = IDBObjectStore.prototype.put;
    let things = 0;
    vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, ...args) {
      const request = put.apply(this, args);
      if (this.name === 'gauges' && ++things === 2) this.transaction.abort();
      return request;
    });
    await expect(readBackup(here, new Blob([bytes]))).rejects.toMatchObject({ code: 'failed' });
    expect(things).toBe(2);
    vi.restoreAllMocks();
    expect(await allOf(here)).toEqual(before);
  });

  it('leaves nothing behind when the person stops it', async () => {
    const stopping = new AbortController();
    const reading = readBackup(here, new Blob([bytes]), {
      signal: stopping.signal,
      progress: (done, of) => done > of / 2 && stopping.abort(),
    });
    await expect(reading).rejects.toMatchObject({ name: 'AbortError' });
    const staging = new AbortController();
    const addPiece = here.addPiece;
    vi.spyOn(here, 'addPiece').mockImplementation((piece) => addPiece(piece).then(() => staging.abort()));
    await expect(readBackup(here, new Blob([bytes]), { signal: staging.signal })).rejects.toMatchObject({
      name: 'AbortError',
    });
    vi.restoreAllMocks();
    expect(await allOf(here)).toEqual(before);
  });
});
