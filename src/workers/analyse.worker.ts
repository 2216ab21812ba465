/** The worker in which a recording is analysed, so that the page stays awake meanwhile. See `messages.ts`. */

import { analyse } from '../analysis/analyse.ts';
import type { AnalyseAnswer, AnalyseRequest } from './messages.ts';

self.addEventListener('message', ({ data }: MessageEvent<AnalyseRequest>) => {
  const { samples, source, warnings } = data;
  try {
    answer({ kind: 'heard', analysis: analyse(samples, source, { warnings }), samples }, [samples.buffer]);
  } catch (error) {
    answer({ kind: 'refused', message: error instanceof Error ? error.message : String(error) }, []);
  }
});

function answer(message: AnalyseAnswer, transfer: Transferable[]): void {
  self.postMessage(message, { transfer });
}
