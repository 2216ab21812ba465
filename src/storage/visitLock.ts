/**
 * One page at a time writes to a visit; others read. The browser's own locks (Web Locks): they end with the page that holds them,
 * however it ends.
 */

/** A visit that this page holds. */
export interface HeldVisit {
  /** Lets go. More than once does no harm; `onLost` is not called for it. */
  release(): void;
}

/**
 * Holds a visit, unless another page does.
 * @param onLost - called once when another page takes it over: this page may only read from then on.
 * @returns `elsewhere` where another page holds it.
 * @throws DOMException (as a rejection) where the browser forbids locks, as it does on a page that is not secure.
 */
export function holdVisit(visitId: string, onLost: () => void): Promise<HeldVisit | 'elsewhere'> {
  return hold(visitId, { ifAvailable: true }, onLost);
}

/** Takes a visit over from whatever page holds it; that page is told. Arguments as for {@link holdVisit}. */
export async function takeOverVisit(visitId: string, onLost: () => void): Promise<HeldVisit> {
  const held = await hold(visitId, { steal: true }, onLost);
  // A stolen lock is always granted.
  if (held === 'elsewhere') throw new Error(`visit ${visitId} could not be taken over`);
  return held;
}

function hold(visitId: string, how: LockOptions, onLost: () => void): Promise<HeldVisit | 'elsewhere'> {
  return new Promise((answer, refuse) => {
    let granted = false;
    let released = false;
    navigator.locks
      .request(`evenfall-visit-${visitId}`, how, (lock) => {
        if (lock === null) {
          answer('elsewhere');
          return;
        }
        granted = true;
        return new Promise<void>((end) => {
          const release = () => {
            released = true;
            end();
          };
          answer({ release });
        });
      })
      .catch((failure: unknown) => {
        // A held lock's promise rejects only when it is taken over.
        if (!granted) refuse(failure);
        else if (!released) onLost();
      });
  });
}
