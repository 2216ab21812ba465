/**
 * The service worker: registered, and asked now and then whether a newer version of the page waits. A newer one is loaded beside the running
 * one and then waits until a person says so: never while a visit is held anywhere, because a page that listens must find
 * all its parts as they were.
 */

import { isLater, versionFileOf, type VersionFile } from './changes.ts';

/** A newer version of the page that waits. */
export interface WaitingUpdate {
  /** Points of the changelog by which numbers may come out otherwise; empty: numbers stay the same, or the changes are not known. */
  readonly changes: readonly string[];
  /** Analysis versions of this page and of the waiting one; null where it could not be asked (no network). */
  readonly from: string;
  readonly to: string | null;
  /** Hands over to it and loads the page again, unless a visit is held by this or another tab. */
  apply(): Promise<'applied' | 'listening'>;
}

/** Asked again when the page comes to the front, but not more often than this. */
const PATIENCE_MS = 3_600_000;
/** As `storage/visitLock.ts` names its locks. */
const HELD_VISIT = 'evenfall-visit-';

/**
 * Registers the service worker beside the page. Where it cannot be (development, a certificate that the browser does not trust, a browser
 * without one) nothing happens: the page works as long as its server does.
 * @param onWaiting - a newer version waits; called again for each further one
 */
export async function watchUpdates(onWaiting: (update: WaitingUpdate) => void): Promise<void> {
  const running = runningVersion();
  if (running === null || !('serviceWorker' in navigator)) return;
  const registration = await navigator.serviceWorker.register('./sw.js', { updateViaCache: 'none' }).catch(() => null);
  if (registration === null) return;
  followOtherTabs();

  const told = new WeakSet<ServiceWorker>();
  const tell = async () => {
    const { waiting } = registration;
    // The first one that ever comes takes the place of none: it is no update.
    if (!waiting || !registration.active || told.has(waiting)) return;
    told.add(waiting);
    const version = await versionFile();
    onWaiting({
      from: running,
      to: version?.analysisVersion ?? null,
      changes: version ? changesSince(version, running) : [],
      apply: () => apply(waiting),
    });
  };
  const watchNew = () => {
    const coming = registration.installing;
    coming?.addEventListener('statechange', () => {
      if (coming.state === 'installed') void tell();
    });
  };
  registration.addEventListener('updatefound', watchNew);
  watchNew();
  await tell();

  let asked = Date.now();
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState !== 'visible' || Date.now() - asked < PATIENCE_MS) return;
    asked = Date.now();
    // Without a network there is no newer one.
    registration.update().catch(() => undefined);
  });
}

/**
 * Loads this page again once a newer version took over from another tab: its own parts that were not asked for yet are gone with
 * the older version. No visit is held then, so nothing is lost.
 */
function followOtherTabs(): void {
  let controlled = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    // The first one that ever comes is the one that this page was loaded with.
    if (controlled) location.reload();
    controlled = true;
  });
}

async function apply(waiting: ServiceWorker): Promise<'applied' | 'listening'> {
  const { held = [] } = await navigator.locks.query();
  if (held.some(({ name }) => name?.startsWith(HELD_VISIT))) return 'listening';
  await new Promise<void>((done) => {
    navigator.serviceWorker.addEventListener('controllerchange', () => done(), { once: true });
    waiting.postMessage({ type: 'SKIP_WAITING' });
  });
  location.reload();
  return 'applied';
}

/** Of this page, as built; null in development. */
function runningVersion(): string | null {
  return document.querySelector<HTMLMetaElement>('meta[name="analysis-version"]')?.content ?? null;
}

/** Of the newest page: the running service worker does not keep this file. */
async function versionFile(): Promise<VersionFile | null> {
  try {
    return versionFileOf(await (await fetch('./version.json', { cache: 'no-store' })).json());
  } catch {
    return null;
  }
}

function changesSince({ changes }: VersionFile, running: string): string[] {
  return changes.filter(({ analysisVersion }) => isLater(analysisVersion, running)).flatMap(({ lines }) => lines);
}
