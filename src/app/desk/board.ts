/** What every screen shows alike, and how the page learns that something is to be shown anew: at most once a frame. */

import { StoreError } from '../../storage/store.ts';
import type { Notice } from '../listen/view.ts';

const DISMISS = [{ id: 'dismiss', label: 'All right' }];

export abstract class Board {
  notices: readonly Notice[] = [];
  readonly #listeners = new Set<() => void>();
  #version = 0;
  #pending = false;

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  /** A new number whenever something is to be shown anew. */
  readonly snapshot = (): number => this.#version;

  dismiss(code: string): void {
    this.notices = this.notices.filter((notice) => notice.code !== code);
    this.changed();
  }

  /** What a screen could not do, and why. */
  say(code: string, title: string, cause: unknown): void {
    this.warn(code, title, cause);
  }

  /** Makes what is shown, just before it is. */
  protected abstract prepare(): void;

  /** Once a frame at most, however much is said. */
  protected changed(): void {
    if (this.#pending) return;
    this.#pending = true;
    requestAnimationFrame(() => {
      this.#pending = false;
      this.#version++;
      this.prepare();
      for (const listener of this.#listeners) listener();
    });
  }

  /** Does some work; why it failed is told. */
  async attempt(work: () => Promise<unknown>): Promise<void> {
    try {
      await work();
    } catch (cause) {
      this.warn('store', 'This device could not do that', cause);
    }
    this.changed();
  }

  protected warn(code: string, title: string, cause: unknown): void {
    const words = cause instanceof Error ? cause.message : String(cause);
    const remedy = cause instanceof StoreError ? cause.remedy : '';
    this.tell(code, title, `${words} ${remedy}`.trim());
  }

  protected tell(code: string, title: string, text: string): void {
    const notice: Notice = { code, title, text, stops: false, actions: DISMISS };
    this.notices = [...this.notices.filter((one) => one.code !== code), notice];
    this.changed();
  }
}
