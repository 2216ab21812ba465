/** The worker that refines: takes' sound in, their documents out; documents in, the round's judgement out. See `listening.ts`. */

import { answer } from './answer.ts';
import type { ToRefiner } from './listening.ts';

self.addEventListener('message', ({ data }: MessageEvent<ToRefiner>) => self.postMessage(answer(data)));
