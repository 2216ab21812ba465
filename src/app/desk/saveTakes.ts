/** Takes that the store has refused, as sound files of the player's own: the browser keeps them among its downloads. */

import { keyName } from '../../piano/keys.ts';
import { writeKept } from '../../soundfiles/index.ts';
import type { HeldTake } from '../sitting/takeKeeper.ts';

export function saveTakes(held: readonly HeldTake[]): void {
  for (const { take, samples } of held) {
    const bytes = writeKept(samples, take.sampleRate);
    const address = URL.createObjectURL(new Blob([bytes], { type: 'audio/wav' }));
    const link = document.createElement('a');
    link.href = address;
    link.download = `take-${take.number}-${keyName(take.midi).replace('#', '-sharp-')}.wav`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
  }
}
