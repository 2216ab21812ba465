/**
 * A round as it is named on the command line: a recording, a folder of recordings, or the JSON that `evenfall analyse` wrote.
 *
 * Several recordings are pooled. One that cannot be read is named on standard error and keeps its place among the
 * sources; a round of which nothing could be read is refused.
 */

import { readFile, readdir, stat } from 'node:fs/promises';
import { extname, join } from 'node:path';
import {
  ANALYSIS_SCHEMA,
  ANALYSIS_VERSION,
  ERROR_SCHEMA,
  type AnalysisDocument,
  type ErrorDocument,
} from '../analysis/document.ts';
import type { RoundDocument } from '../analysis/playedRound.ts';
import { readReference, type HandReference } from '../analysis/reference.ts';
import { Refused } from '../analysis/refused.ts';
import { together } from '../analysis/together.ts';
import { hearAll } from './hearAll.ts';
import { Refusal, systemCode } from './refusal.ts';

/** What each recording of a round sounds like, told while it is read; see `readRound`. */
export type Listener = (samples: Float32Array, sampleRate: number, document: AnalysisDocument) => void;

export interface Round {
  readonly document: RoundDocument;
  /** A recording of it could not be read. */
  readonly incomplete: boolean;
  /** Every document in it was analysed from its recording just now. */
  readonly fromSound: boolean;
}

const SOUNDS = ['.wav', '.flac', '.ogg', '.oga', '.opus', '.mp3'];
const EXPECTED = 'a recording, a folder of recordings, or the JSON of evenfall analyse --json';

/**
 * Reads a round.
 * @param names - recordings, folders and documents that make it together
 * @throws Refusal naming what cannot be read and what was expected.
 */
export async function readRound(
  names: readonly string[],
  reference: HandReference | undefined,
  listener?: Listener,
): Promise<Round> {
  const parts: (AnalysisDocument | ErrorDocument)[] = [];
  let fromSound = true;
  const files = await filesOf(names);
  const isSound = (file: string) => extname(file).toLowerCase() !== '.json';
  const recordings = files.filter(isSound);
  const heard = new Map<string, AnalysisDocument | ErrorDocument>();
  await hearAll(recordings, { reference, keepSound: listener !== undefined }, ({ document, sound }, i) => {
    heard.set(recordings[i], document);
    if (sound && document.schema !== ERROR_SCHEMA) listener?.(sound.samples, sound.sampleRate, document);
  });
  for (const file of files) {
    const document = heard.get(file);
    if (document) {
      parts.push(document);
      continue;
    }
    fromSound = false;
    const documents = await documentsIn(file);
    if (documents.length === 1 && 'sources' in documents[0]) {
      // Pooled already: its strokes are no recording's alone any more.
      if (names.length === 1) return { document: documents[0], incomplete: false, fromSound };
      throw new Refusal(file, 'several recordings pooled', 'it alone, or the document of each recording');
    }
    parts.push(...(documents as (AnalysisDocument | ErrorDocument)[]));
  }
  const errors = parts.filter((part): part is ErrorDocument => part.schema === ERROR_SCHEMA);
  for (const { file, message } of errors) process.stderr.write(`evenfall: ${file}: ${message}\n`);
  if (errors.length === parts.length) throw new Refusal(names.join(', '), 'nothing that could be read', EXPECTED);
  const document = parts.length === 1 && parts[0].schema !== ERROR_SCHEMA ? parts[0] : together(parts, { reference });
  return { document, incomplete: errors.length > 0, fromSound };
}

/** The reference of `--reference`. @throws Refusal naming the file and what is wrong with it. */
export async function readReferenceFile(file: string): Promise<HandReference> {
  const text = await textOf(file, 'a hand reference, as evenfall reference writes it');
  return mended(() => readReference(text, file));
}

/** What `work` gives; what the analysis refuses becomes a refusal of the command line. */
export function mended<Result>(work: () => Result, name?: string): Result {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    const { found, expected } = error;
    if (name !== undefined) throw new Refusal(name, found, expected);
    const split = found.indexOf(': ');
    throw split > 0
      ? new Refusal(found.slice(0, split), found.slice(split + 2), expected)
      : new Refusal('evenfall', found, expected);
  }
}

/** Recordings and documents, folders opened: their recordings in the order of their names. @throws Refusal for a folder without any. */
export async function filesOf(names: readonly string[]): Promise<string[]> {
  const files: string[] = [];
  for (const name of names) {
    const isFolder = await stat(name).then(
      (entry) => entry.isDirectory(),
      () => false,
    );
    if (!isFolder) {
      files.push(name);
      continue;
    }
    const inside = (await readdir(name).catch((error: unknown) => unlisted(name, error)))
      .filter((entry) => SOUNDS.includes(extname(entry).toLowerCase()))
      .sort((a, b) => (a < b ? -1 : 1));
    if (inside.length === 0) throw new Refusal(name, 'a folder without recordings', EXPECTED);
    files.push(...inside.map((entry) => join(name, entry)));
  }
  return files;
}

function unlisted(name: string, error: unknown): never {
  if (systemCode(error) === null) throw error;
  throw new Refusal(name, 'a folder that cannot be listed', EXPECTED);
}

async function documentsIn(file: string): Promise<(RoundDocument | ErrorDocument)[]> {
  const text = await textOf(file, EXPECTED);
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    throw new Refusal(file, 'no whole JSON', EXPECTED);
  }
  const list: unknown[] = Array.isArray(parsed) ? parsed : [parsed];
  if (list.length === 0) throw new Refusal(file, 'an empty list', EXPECTED);
  return list.map((each) => checkedDocument(each, file));
}

const LISTS = ['takes', 'strokes', 'notes', 'warnings'] as const;

function checkedDocument(value: unknown, file: string): RoundDocument | ErrorDocument {
  const fields = (typeof value === 'object' && value !== null ? value : {}) as Record<string, unknown>;
  if (fields.schema === ERROR_SCHEMA && typeof fields.file === 'string') return value as ErrorDocument;
  if (fields.schema !== ANALYSIS_SCHEMA) {
    const found = typeof fields.schema === 'string' ? `JSON of ${fields.schema}` : 'JSON without a schema of its own';
    throw new Refusal(file, found, `${ANALYSIS_SCHEMA}, as evenfall analyse --json writes it`);
  }
  if (fields.analysisVersion !== ANALYSIS_VERSION) {
    throw new Refusal(
      file,
      `analysis version ${String(fields.analysisVersion)}`,
      `${ANALYSIS_VERSION}, because numbers of two versions do not compare: analyse its recording again`,
    );
  }
  const missing = [
    ...LISTS.filter((list) => !Array.isArray(fields[list])),
    ...(typeof fields.hand === 'object' && fields.hand !== null ? [] : ['hand']),
    ...('source' in fields || Array.isArray(fields.sources) ? [] : ['source']),
  ];
  if (missing.length > 0) {
    throw new Refusal(file, `an analysis document without ${missing.join(', ')}`, 'a whole one, as it was written');
  }
  const damaged = LISTS.find((list) => !(fields[list] as unknown[]).every((each) => isWhole(list, each)));
  if (damaged !== undefined) {
    throw new Refusal(file, `an analysis document with damaged ${damaged}`, 'a whole one, as it was written');
  }
  if ((fields.strokes as unknown[]).length === 0 && (fields.notes as unknown[]).length > 0) {
    throw new Refusal(file, 'an analysis document with notes but no strokes', 'a whole one, as it was written');
  }
  return value as RoundDocument;
}

/** What is read of each part without asking again. */
const PARTS: Readonly<Record<(typeof LISTS)[number], readonly [string, 'number' | 'string' | 'object'][]>> = {
  takes: [['take', 'number']],
  strokes: [
    ['kind', 'string'],
    ['take', 'number'],
    ['timeSeconds', 'number'],
    ['preceding', 'object'],
    ['absent', 'object'],
    ['doubt', 'object'],
  ],
  notes: [
    ['midi', 'number'],
    ['measures', 'object'],
    ['findings', 'object'],
  ],
  warnings: [['message', 'string']],
};

function isWhole(list: (typeof LISTS)[number], value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false;
  const fields = value as Record<string, unknown>;
  return PARTS[list].every(([field, type]) => typeof fields[field] === type && fields[field] !== null);
}

async function textOf(file: string, expected: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (error) {
    const code = systemCode(error);
    if (code === null) throw error;
    const found = code === 'ENOENT' ? 'no such file' : code === 'EISDIR' ? 'a folder' : 'a file that cannot be read';
    throw new Refusal(file, found, expected);
  }
}
