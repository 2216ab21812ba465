/** The command line built into a folder of its own, so that `evenfall serve` runs there as it does when shipped. */

import { spawn, type ChildProcess } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
/** Last words of what it says when it is ready. */
const READY = 'Ctrl-C ends it.\n';
const READY_LAN = 'to compare with what the phone shows:\n  ';

export interface Served {
  /** Where the page is on this computer, without a slash at the end. */
  readonly home: string;
  /** All that it said. */
  readonly words: string;
  /** Ends it as Ctrl-C does. */
  end(): Promise<Ended>;
}

export interface Ended {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export class ServedProgram {
  /** Where the built page is looked for. */
  readonly app: string;
  /** The only folder that it finds other programs in: empty at first, so that no test opens a browser by chance. */
  readonly path: string;
  private readonly running = new Set<ChildProcess>();

  private constructor(readonly folder: string) {
    this.app = join(folder, 'dist', 'app');
    this.path = join(folder, 'path');
  }

  static async make(): Promise<ServedProgram> {
    const folder = mkdtempSync(join(tmpdir(), 'evenfall-serve-'));
    const outDir = join(folder, 'dist', 'cli');
    await build({ root: ROOT, configFile: join(ROOT, 'vite.cli.config.ts'), logLevel: 'error', build: { outDir } });
    for (const part of ['bin', 'package.json']) cpSync(join(ROOT, part), join(folder, part), { recursive: true });
    return new ServedProgram(folder);
  }

  /** Starts it and waits until it says where the page is. */
  async serve(...args: string[]): Promise<Served> {
    const child = this.start(args);
    const ended = this.endOf(child);
    let words = '';
    const ready = new Promise<void>((resolve) => {
      child.stdout!.on('data', (piece: string) => {
        words += piece;
        if (args.includes('--lan') ? words.includes(READY_LAN) : words.endsWith(READY)) resolve();
      });
    });
    await Promise.race([
      ready,
      ended.then(({ code, stderr }) => Promise.reject(new Error(`it ended with ${code}: ${stderr}`))),
    ]);
    const home = /http:\/\/localhost:\d+/.exec(words)?.[0];
    if (!home) throw new Error(`it does not say where the page is: ${words}`);
    return {
      home,
      words,
      end: () => {
        child.kill('SIGINT');
        return ended;
      },
    };
  }

  /** Runs it until it ends by itself. */
  run(...args: string[]): Promise<Ended> {
    return this.endOf(this.start(args));
  }

  remove(): void {
    for (const child of this.running) child.kill('SIGKILL');
    rmSync(this.folder, { recursive: true, force: true });
  }

  private start(args: readonly string[]): ChildProcess {
    const child = spawn(process.execPath, ['bin/evenfall.js', 'serve', ...args], {
      cwd: this.folder,
      env: { PATH: this.path, XDG_DATA_HOME: join(this.folder, 'data') },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    child.stdout!.setEncoding('utf8');
    child.stderr!.setEncoding('utf8');
    this.running.add(child);
    return child;
  }

  private endOf(child: ChildProcess): Promise<Ended> {
    const text = { stdout: '', stderr: '' };
    for (const name of ['stdout', 'stderr'] as const) child[name]!.on('data', (piece: string) => (text[name] += piece));
    return new Promise((resolve, reject) => {
      child.once('error', reject);
      child.once('close', (code) => {
        this.running.delete(child);
        resolve({ code, ...text });
      });
    });
  }
}
