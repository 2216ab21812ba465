/** Where a backup goes: a file that the person chooses, or the browser's downloads. */

import type { BackupSink } from '../../storage/backup/zipWriting.ts';

export interface BackupPlace extends BackupSink {
  /** All was written. */
  finish(): Promise<void>;
  /** Nothing of it is to stay. */
  discard(): Promise<void>;
}

/** What browsers that let a page write a file have. Source: WICG File System Access, `showSaveFilePicker`. */
interface SavingWindow {
  showSaveFilePicker?(options: {
    suggestedName: string;
    types: { description: string; accept: Record<string, string[]> }[];
  }): Promise<FileSystemFileHandle>;
}

/**
 * Asks for the place; to be called within the person's tap.
 * @returns null where the person thought better of it
 */
export async function choosePlace(name: string): Promise<BackupPlace | null> {
  const { showSaveFilePicker } = window as SavingWindow;
  if (!showSaveFilePicker) return download(name);
  try {
    const types = [{ description: 'Backup of Evenfall', accept: { 'application/zip': ['.zip'] } }];
    const file = await showSaveFilePicker.call(window, { suggestedName: name, types });
    // What is written stands in a file of its own until it is finished: the chosen one is never left in part.
    const writable = await file.createWritable();
    return {
      write: (bytes) => writable.write(bytes),
      finish: () => writable.close(),
      discard: () => writable.abort(),
    };
  } catch (failure) {
    if (failure instanceof DOMException && failure.name === 'AbortError') return null;
    return download(name);
  }
}

/** Blobs may lie on the disk, lists of bytes lie in memory: so every part becomes one at once. */
function download(name: string): BackupPlace {
  const parts: Blob[] = [];
  return {
    write: async (bytes) => void parts.push(new Blob([bytes])),
    finish: async () => {
      const address = URL.createObjectURL(new Blob(parts, { type: 'application/zip' }));
      const link = document.createElement('a');
      link.href = address;
      link.download = name;
      link.click();
      setTimeout(() => URL.revokeObjectURL(address), 60_000);
    },
    discard: async () => void parts.splice(0),
  };
}
