/** What can be the matter with listening, told from the facts. */

/**
 * - `starting`: microphone or processor are being made ready
 * - `listening`: sound comes in
 * - `suspended`: the audio clock stands, by a call, the screen, or for want of a first touch; what sounds meanwhile is lost
 * - `muted`: the system delivers silence instead of the microphone
 * - `unplugged`: the microphone's track has ended, or the device is no longer listed
 * - `broken`: the processor threw, and so did the one built in its place
 * - `closed`: nothing is open
 */
export type EarState = 'starting' | 'listening' | 'suspended' | 'muted' | 'unplugged' | 'broken' | 'closed';

export interface EarFacts {
  readonly open: boolean;
  readonly broken: boolean;
  /** The processor has answered and the microphone is connected. */
  readonly connected: boolean;
  /** The context's state is other than running, or its clock stands although it says so. */
  readonly clockStands: boolean;
  readonly trackEnded: boolean;
  readonly trackMuted: boolean;
}

/** The one thing to say: what keeps everything else from mattering comes first. */
export function earStateOf(facts: EarFacts): EarState {
  if (facts.broken) return 'broken';
  if (!facts.open) return 'closed';
  if (facts.trackEnded) return 'unplugged';
  if (facts.clockStands) return 'suspended';
  if (!facts.connected) return 'starting';
  return facts.trackMuted ? 'muted' : 'listening';
}
