/** A backup and back: what went in comes out, and nothing else ever. */

import { execFileSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, readSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { crc32 as zlibCrc32 } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crc32 } from '../../src/storage/backup/crc32.ts';
import { readBackup } from '../../src/storage/backup/readBackup.ts';
import { soundInBackup, writeBackup } from '../../src/storage/backup/writeBackup.ts';
import { bytesOfEntry, directory, dosTime, localHeader, type ZipEntry } from '../../src/storage/backup/zipFormat.ts';
import { openZip } from '../../src/storage/backup/zipReading.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import type { Store } from '../../src/storage/store.ts';
import { addVisit, allOf, backupOf, fill, MADE_AT, records, storeWithVisits } from './backupMaterial.ts';
import { piano, STORES, visit } from './stores.ts';

describe.each(STORES)('a backup brought into an empty %s store', (_, open) => {
  it('is what was saved, whatever the record holds; brought in again it changes nothing', async () => {
    let [takes, samples] = [0, 0];
    await fc.assert(
      fc.asyncProperty(records(), async (generated) => {
        const [from, to] = [memoryStore(), await open()];
        await fill(from, generated);
        const file = await backupOf(from);
        const before = await allOf(from);
        const { broughtIn, differing } = await readBackup(to, file);
        expect(broughtIn).toEqual(file.made.counts);
        expect(differing).toEqual([]);
        expect(await allOf(to)).toEqual(before);
        const again = await readBackup(to, file);
        expect(again.here).toEqual(file.made.counts);
        expect(again.differing).toEqual([]);
        expect(Object.values(again.broughtIn).every((n) => n === 0)).toBe(true);
        expect(await allOf(to)).toEqual(before);
        takes += broughtIn.takes;
        samples += (await Promise.all((await to.list('takes')).map(({ id }) => to.sound(id)))).reduce(
          (sum, sound) => sum + (sound?.length ?? 0),
          0,
        );
        to.close();
      }),
      { numRuns: 25 },
    );
    // Else the property would hold of nothing.
    expect(takes).toBeGreaterThan(10);
    expect(samples).toBeGreaterThan(100);
  });

  it('merges without doubles: three visits into a store that has one of them', async () => {
    const [from, to] = [await storeWithVisits(['v1', 'v2', 'v3']), await open()];
    await addVisit(to, 'v2', [[300, 400], [500]]);
    await addVisit(to, 'v9', [[20]]);
    const { broughtIn, here, differing } = await readBackup(to, await backupOf(from));
    expect([broughtIn.visits, broughtIn.takes, here.visits, here.takes]).toEqual([2, 4, 1, 2]);
    expect(here.pianos).toBe(1);
    expect(differing).toEqual([]);
    expect((await to.list('visits')).map(({ id }) => id)).toEqual(['v2', 'v9', 'v1', 'v3']);
    expect((await to.list('takes', { visitId: 'v3' })).map(({ id }) => id)).toEqual(['t-v3-0', 't-v3-1']);
    expect(await to.sound('t-v3-0')).toEqual(await from.sound('t-v3-0'));
    to.close();
  });
});

describe('what is here', () => {
  it('stays as it is where the backup says otherwise, and is told', async () => {
    const store = await storeWithVisits(['v1']);
    const file = await backupOf(store);
    const take = (await store.get('takes', 't-v1-0'))!;
    await store.put('takes', { ...take, undone: true });
    await store.dropSound('t-v1-1');
    await store.put('visits', { ...visit, notes: 'let-off done' });
    const now = await allOf(store);
    const { differing } = await readBackup(store, file);
    expect(differing).toEqual([
      { shelf: 'visits', id: 'v1', place: 'visit 1', unread: null },
      { shelf: 'takes', id: 't-v1-0', place: 'take 1 in visit 1', unread: null },
      { shelf: 'takes', id: 't-v1-1', place: 'take 2 in visit 1', unread: null },
    ]);
    expect(await allOf(store)).toEqual(now);
  });

  it('does not mind sound that an interrupted restoring left', async () => {
    const [from, to] = [await storeWithVisits(['v1']), memoryStore()];
    for (let index = 0; index < 5; index++) {
      await to.addPiece({ takeId: 't-v1-0', index, samples: Int16Array.of(1, 2, 3) });
    }
    await readBackup(to, await backupOf(from));
    expect(await allOf(to)).toEqual(await allOf(from));
  });
});

describe('the file', () => {
  it('of one visit has its piano, hand and templates, and nothing of other visits', async () => {
    const store = await storeWithVisits(['v1', 'v2']);
    await store.put('pianos', { ...piano, id: 'p2' });
    const file = await backupOf(store, { visitId: 'v2' });
    expect(file.made.counts).toEqual({
      ...{ pianos: 1, visits: 1, rounds: 1, takes: 2, templates: 1, references: 0, adjustments: 1, gauges: 1 },
      ...{ marks: 1, hours: 1 },
    });
    const to = memoryStore();
    await readBackup(to, file);
    expect((await to.list('visits')).map(({ id }) => id)).toEqual(['v2']);
    expect(await soundInBackup(store, { visitId: 'v2' })).toEqual({ visits: 1, takes: 2, soundBytes: 2400 });
    await expect(backupOf(store, { visitId: 'v7' })).rejects.toMatchObject({
      code: 'failed',
      message: /no such visit/,
    });
  });

  it('is an ordinary ZIP, whose sound anybody can play', async () => {
    const store = await storeWithVisits(['v1', 'v2']);
    const folder = mkdtempSync(join(tmpdir(), 'evenfall-backup-'));
    const path = join(folder, 'backup.zip');
    writeFileSync(path, new Uint8Array(await (await backupOf(store)).arrayBuffer()));
    const script = `
import io, json, struct, sys, wave, zipfile
z = zipfile.ZipFile(sys.argv[1])
assert z.testzip() is None
names = z.namelist()
w = wave.open(io.BytesIO(z.read('visits/1/takes/1.wav')))
samples = struct.unpack('<%dh' % w.getnframes(), w.readframes(w.getnframes()))
print(json.dumps({'names': names, 'manifest': json.loads(z.read('manifest.json')), 'form': w.getparams()[:4], 'samples': samples,
  'at': z.getinfo('visits/1/visit.json').date_time}))`;
    const read = JSON.parse(execFileSync('python3', ['-c', script, path], { encoding: 'utf8' })) as {
      names: string[];
      manifest: { schema: string; files: unknown[]; madeAt: string };
      form: number[];
      samples: number[];
      at: number[];
    };
    rmSync(folder, { recursive: true });
    expect(read.form).toEqual([1, 2, 48000, 700]);
    expect(read.samples).toEqual([...(await store.sound('t-v1-0'))!]);
    expect(read.at).toEqual([2026, 5, 4, 18, 0, 0]);
    expect(read.names).toContain('visits/2/takes/2.json');
    expect(read.names.at(-1)).toBe('manifest.json');
    expect(read.manifest).toMatchObject({ schema: 'evenfall.backup/1', madeAt: MADE_AT });
    expect(read.manifest.files).toHaveLength(read.names.length - 1);
  });

  it('is written take by take: no more than one take is in memory, and a slow sink is waited for', async () => {
    const store = memoryStore();
    await addVisit(
      store,
      'v1',
      Array.from({ length: 12 }, () => [20_000]),
    );
    let [waiting, most, longest] = [0, 0, 0];
    const sink = {
      write: async (bytes: Uint8Array) => {
        waiting += bytes.length;
        most = Math.max(most, waiting);
        longest = Math.max(longest, bytes.length);
        await new Promise((resolve) => setTimeout(resolve, 1));
        waiting -= bytes.length;
      },
    };
    const told: number[] = [];
    const { bytes } = await writeBackup(store, 'everything', sink, {
      madeAt: MADE_AT,
      progress: (takes, of) => told.push(takes / of),
    });
    expect(bytes).toBeGreaterThan(12 * 40_000);
    expect(most).toBe(longest);
    expect(longest).toBe(40_044);
    expect(told).toEqual(Array.from({ length: 12 }, (_, i) => (i + 1) / 12));
  });

  it('leaves out sound that is damaged here, and says of which take', async () => {
    const store = await storeWithVisits(['v1']);
    const sound = store.sound;
    const { StoreError } = await import('../../src/storage/store.ts');
    store.sound = (id) =>
      id === 't-v1-1' ? Promise.reject(new StoreError('damaged', 'a piece is lost', 'none')) : sound(id);
    const file = await backupOf(store);
    expect(file.made.withoutSound).toEqual([{ id: 't-v1-1', place: 'take 2 in visit 1', why: 'a piece is lost' }]);
    const to: Store = memoryStore();
    await readBackup(to, file);
    expect(await to.get('takes', 't-v1-1')).toMatchObject({ pieces: 0, frames: 500 });
    expect(await to.sound('t-v1-0')).toHaveLength(700);
  });

  it('goes beyond 4 GB, as a sparse file shows', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'evenfall-backup-'));
    const path = join(folder, 'large.zip');
    const words = new TextEncoder().encode('far away');
    const large = { method: 0, packed: 0xf0000000, size: 0xf0000000, crc: 0 } as const;
    const entries: ZipEntry[] = [
      { ...large, name: 'visits/1/takes/1.wav', offset: 0 },
      { ...large, name: 'visits/1/takes/2.wav', offset: 0xf0000000 + 50 },
    ];
    const offset = entries.reduce((sum, entry) => sum + bytesOfEntry(entry), 0);
    entries.push({ ...large, name: 'near/far.txt', packed: 8, size: 8, crc: crc32(words), offset });
    const time = dosTime(MADE_AT);
    const file = openSync(path, 'w');
    for (const entry of entries) {
      const header = localHeader(entry, time);
      writeSync(file, header, 0, header.length, entry.offset);
    }
    const at = offset + bytesOfEntry(entries[2]);
    writeSync(file, words, 0, 8, at - 8);
    const end = directory(entries, time, at);
    writeSync(file, end, 0, end.length, at);
    closeSync(file);
    expect(offset).toBeGreaterThan(2 ** 32);
    const script = "import sys, zipfile; print(zipfile.ZipFile(sys.argv[1]).read('near/far.txt').decode())";
    expect(execFileSync('python3', ['-c', script, path], { encoding: 'utf8' })).toBe('far away\n');
    // Node's own Blob of a file forgets that it is larger than 4 GB.
    const reading = openSync(path, 'r');
    const slice = (from: number, to: number) => {
      const bytes = new Uint8Array(to - from);
      const found = readSync(reading, bytes, 0, to - from, from);
      return { arrayBuffer: async () => bytes.buffer.slice(0, found) };
    };
    const zip = await openZip({ size: at + end.length, slice });
    expect(zip.entries).toEqual(entries);
    await zip.askExact();
    expect(new TextDecoder().decode(await zip.read(zip.entries[2]))).toBe('far away');
    closeSync(reading);
    rmSync(folder, { recursive: true });
  });

  it('has the checksums of ZIP', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => crc32(bytes) === zlibCrc32(bytes)));
    // The check value of the catalogue of CRCs.
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
  });
});
