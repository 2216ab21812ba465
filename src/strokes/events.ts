/**
 * Coarse strokes of a whole recording, by the same detector that runs on the audio thread.
 */

import { emptyStrokeEvent, StrokeDetector, type StrokeEvent } from '../signal/detector.ts';
import type { Hertz } from '../units.ts';

const BLOCK = 65536;

/** All events of a recording (mono), in order of time. @throws RangeError for a sample rate outside 8 to 96 kHz. */
export function detectEvents(samples: Float32Array, sampleRate: Hertz): StrokeEvent[] {
  const detector = new StrokeDetector({ sampleRate, maxBlock: BLOCK });
  const events: StrokeEvent[] = [];
  const collect = (waiting: number) => {
    for (let i = 0; i < waiting; i++) events.push(detector.read(i, emptyStrokeEvent()));
  };
  for (let at = 0; at < samples.length; at += BLOCK) {
    collect(detector.process(samples.subarray(at, Math.min(samples.length, at + BLOCK))));
  }
  collect(detector.flush());
  return events;
}
