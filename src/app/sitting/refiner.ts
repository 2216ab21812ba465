/** The refining worker as promises: one request, one answer, in order. */

import type { FromRefiner, ToRefiner } from '../../workers/listening.ts';

export type Request = ToRefiner extends infer R
  ? R extends { readonly request: number }
    ? Omit<R, 'request'>
    : never
  : never;
interface Answers {
  readonly refine: 'refined';
  readonly judge: 'judged';
  readonly compare: 'compared';
  readonly zero: 'zero';
  readonly learn: 'learned';
  readonly 'read-hand': 'learned';
}
export type AnswerTo<R extends Request> = Extract<FromRefiner, { readonly type: Answers[R['type']] }>;

/** Why the analysis refused, as it says itself. */
export class RefinerError extends Error {
  override readonly name = 'RefinerError';
}

/** Whoever answers requests: the worker, or the same analysis in this thread. */
export interface Refining {
  /** @throws RefinerError (as a rejection) where the analysis refuses or the worker ended. */
  ask<R extends Request>(request: R, transfer?: Transferable[]): Promise<AnswerTo<R>>;
}

export class Refiner implements Refining {
  readonly #worker = new Worker(new URL('../../workers/refine.worker.ts', import.meta.url), { type: 'module' });
  readonly #waiting = new Map<number, { resolve: (answer: FromRefiner) => void; reject: (cause: Error) => void }>();
  #requests = 0;

  constructor() {
    this.#worker.addEventListener('message', ({ data }: MessageEvent<FromRefiner>) => {
      const waiting = this.#waiting.get(data.request);
      this.#waiting.delete(data.request);
      if (data.type === 'refused') waiting?.reject(new RefinerError(data.message));
      else waiting?.resolve(data);
    });
    this.#worker.addEventListener('error', ({ message }) => this.#fail(message));
  }

  ask<R extends Request>(request: R, transfer: Transferable[] = []): Promise<AnswerTo<R>> {
    const number = ++this.#requests;
    return new Promise((resolve, reject) => {
      this.#waiting.set(number, { resolve: (answer) => resolve(answer as AnswerTo<R>), reject });
      this.#worker.postMessage({ ...request, request: number }, transfer);
    });
  }

  close(): void {
    this.#worker.terminate();
    this.#fail('closed');
  }

  #fail(message: string): void {
    for (const { reject } of this.#waiting.values()) reject(new RefinerError(message));
    this.#waiting.clear();
  }
}
