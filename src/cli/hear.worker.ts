/** A thread that hears recordings. */

import { worker } from 'workerpool';
import { hearRecording } from './hearRecording.ts';

worker({ hear: hearRecording });
