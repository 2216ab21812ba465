/** What the backup screen shows, and what can be done on it. */

import type { Notice } from '../listen/view.ts';

export interface BackupChoice {
  /** A visit's id, or "everything". */
  readonly id: string;
  /** "Aldervane 274, Quillwater Hall, 3 November 2026". */
  readonly words: string;
  /** "31 takes, about 253 MB"; null until it is counted. */
  readonly size: string | null;
}

export interface BackupView {
  readonly choices: readonly BackupChoice[];
  readonly chosen: string;
  /** The chosen one is a visit, which can be removed. */
  readonly removable: boolean;
  /** What would go with the chosen visit, in sentences: asked before it is removed. Null where nothing is asked. */
  readonly asked: string | null;
  /** What is going on, and how far, 0 to 1. */
  readonly busy: { readonly what: 'saving' | 'restoring' | 'removing'; readonly share: number } | null;
  /** What came of the last deed, in sentences; null: nothing yet. */
  readonly outcome: string | null;
  readonly notices: readonly Notice[];
}

export interface BackupActions {
  choose(id: string): void;
  save(): void;
  restore(file: File): void;
  /** Asks whether the chosen visit is to be removed. */
  ask(): void;
  /** It stays. */
  keep(): void;
  /** It goes. */
  remove(): void;
  /** Stops what is going on; nothing is changed then. */
  stop(): void;
  notice(code: string, action: string): void;
}
