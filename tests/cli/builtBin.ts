/** The command line as it is shipped: built once, put where nothing but itself stands, run as a child process. */

import { spawn } from 'node:child_process';
import { chmodSync, cpSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const root = fileURLToPath(new URL('../../', import.meta.url));

export interface Ended {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export interface Running {
  readonly stdin?: Uint8Array;
  /** Stop reading standard output before the first byte. */
  readonly deaf?: boolean;
  /** Code that runs first in the child, to bring about what a test cannot otherwise. */
  readonly first?: string;
  readonly environment?: Readonly<Record<string, string>>;
}

/** A folder of its own with the built program and room for files; children run in it. */
export class BuiltBin {
  private constructor(readonly folder: string) {}

  /** Builds as `npm run build:cli` does and copies what an installed package has, without `node_modules`. */
  static async make(): Promise<BuiltBin> {
    await build({ root, configFile: join(root, 'vite.cli.config.ts'), logLevel: 'warn' });
    const folder = mkdtempSync(join(tmpdir(), 'evenfall-cli-'));
    chmodSync(folder, 0o755);
    for (const part of ['bin', 'dist/cli', 'package.json']) {
      cpSync(join(root, part), join(folder, 'program', part), { recursive: true });
    }
    mkdirSync(join(folder, 'work'));
    return new BuiltBin(join(folder, 'work'));
  }

  remove(): void {
    rmSync(join(this.folder, '..'), { recursive: true, force: true });
  }

  /** Runs the program with these arguments until it ends. */
  run(args: readonly string[], { stdin, deaf, first, environment }: Running = {}): Promise<Ended> {
    const before = first === undefined ? [] : ['--import', `data:text/javascript,${encodeURIComponent(first)}`];
    const child = spawn(process.execPath, [...before, '../program/bin/evenfall.js', ...args], {
      cwd: this.folder,
      env: { PATH: process.env.PATH, ...environment },
    });
    const text = { stdout: '', stderr: '' };
    for (const name of ['stdout', 'stderr'] as const) {
      child[name].setEncoding('utf8').on('data', (piece: string) => (text[name] += piece));
    }
    if (deaf) child.stdout.destroy();
    // A program that refuses its arguments ends before it has read all of its input.
    child.stdin.on('error', () => {});
    child.stdin.end(stdin);
    return new Promise((resolve, reject) => {
      child.on('error', reject);
      child.on('close', (code) => resolve({ code, ...text }));
    });
  }
}
