/**
 * The pictures of `--plot`: one SVG a recording and note, in one folder.
 *
 * Names are the recording's without its ending, then the note: `take-A4.svg`, `take-D-sharp-3.svg`. Two recordings of one
 * name get pictures of two names; a picture that an earlier run left is written over, a recording never.
 */

import { constants } from 'node:fs';
import { access } from 'node:fs/promises';
import { basename, extname, join } from 'node:path';
import type { AnalysisDocument, PooledDocument } from '../analysis/document.ts';
import { keyName } from '../piano/keys.ts';
import { notePage, svgFile, type NotePageInput } from '../pictures/notePage.ts';
import { STANDARD_INPUT } from './input.ts';
import { makeFolder } from './folder.ts';
import { checkPlace, toFile, unwritable } from './output.ts';

/** Width of the pictures, CSS pixels. */
const WIDTH = 800;

export interface Plots {
  /**
   * Writes a picture of each note; `stem` is what their names begin with, made another if it was used before.
   * @returns a line a picture: its place and its note
   * @throws Refusal if one cannot be written.
   */
  write(
    stem: string,
    document: AnalysisDocument | PooledDocument,
    sounds: Pick<NotePageInput, 'files' | 'sounds'>,
  ): Promise<string>;
}

/**
 * Makes the folder where it is missing.
 * @param inputs - recordings, which must not be written over
 * @throws Refusal if it cannot be made or not be written to.
 */
export async function openPlots(folder: string, inputs: readonly string[]): Promise<Plots> {
  try {
    await makeFolder(folder);
    await access(folder, constants.W_OK);
  } catch (error) {
    throw unwritable(folder, error);
  }
  const used = new Set<string>();
  return {
    write: async (stem, { notes, strokes, hand, takes }, { files, sounds }) => {
      const own = unused(stem, used);
      const asked = new Map(takes.map((each) => [each.take, each.asked]));
      const shared = { strokes, files, sounds, hand, askedOf: (take: number) => asked.get(take) ?? null };
      const lines: string[] = [];
      for (const note of notes) {
        const path = join(folder, `${own}-${keyName(note.midi).replace('#', '-sharp-')}.svg`);
        await checkPlace(path, inputs);
        await toFile(path, svgFile(notePage({ note, ...shared }, WIDTH)));
        lines.push(`${path}: picture of ${note.name}\n`);
      }
      return lines.join('') || `${files.join(', ')}: no note, so no picture\n`;
    },
  };
}

/** What the names of a recording's pictures begin with. */
export function stemOf(file: string): string {
  return file === STANDARD_INPUT ? 'standard-input' : basename(file, extname(file));
}

/** The stem, or with the first number that makes it new. Small and capital letters are one on some disks. */
function unused(stem: string, used: Set<string>): string {
  let name = stem;
  for (let n = 2; used.has(name.toLowerCase()); n++) name = `${stem}-${n}`;
  used.add(name.toLowerCase());
  return name;
}
