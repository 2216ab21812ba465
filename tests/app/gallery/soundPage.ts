/** The player of takes, within reach of a test; not shipped. */

import { SoundPlayer, stretchSource } from '../../../src/app/note/playSound.ts';

Object.assign(window, { SoundPlayer, stretchSource });
