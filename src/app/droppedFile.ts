/** Files dropped anywhere on the window. */

import { useEffect } from 'react';

/** While the screen stands, the whole window accepts a dropped file: the first one is handed on. */
export function useDroppedFile(onFile: (file: File) => void): void {
  useEffect(() => {
    const over = (event: DragEvent) => event.preventDefault();
    const drop = (event: DragEvent) => {
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file) onFile(file);
    };
    window.addEventListener('dragover', over);
    window.addEventListener('drop', drop);
    return () => {
      window.removeEventListener('dragover', over);
      window.removeEventListener('drop', drop);
    };
  }, [onFile]);
}
