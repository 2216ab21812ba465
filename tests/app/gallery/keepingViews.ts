/** What the backup screen and the notice of a newer version may have to show, by name. */

import { removalWords } from '../../../src/app/backup/backupWords.ts';
import type { BackupView } from '../../../src/app/backup/view.ts';
import type { WaitingUpdate } from '../../../src/app/update/watchUpdates.ts';

const CHOICES: BackupView['choices'] = [
  { id: 'everything', words: 'Everything on this device', size: null },
  { id: 'a', words: 'Aldervane 274, Quillwater Hall, 4 May 2026', size: '31 takes, about 253 MB' },
];
const READY: BackupView = {
  choices: CHOICES,
  chosen: 'a',
  removable: true,
  asked: null,
  busy: null,
  outcome: null,
  notices: [],
};

/** The backup screen, by name. */
export const BACKUP_VIEWS: Readonly<Record<string, BackupView>> = {
  ready: READY,
  asked: { ...READY, asked: removalWords(CHOICES[1].words, CHOICES[1].size!) },
  saving: { ...READY, busy: { what: 'saving', share: 0.4 } },
  done: { ...READY, outcome: '2 visits, 31 takes brought in; 4 were here already.' },
  refused: {
    ...READY,
    notices: [
      {
        code: 'backup-damaged',
        title: 'This backup cannot be read',
        text: 'It ends in the middle of visit 3. Nothing was changed here.',
        stops: true,
        actions: [{ id: 'choose', label: 'Choose another' }],
      },
    ],
  },
};

interface Waiting {
  readonly update: Pick<WaitingUpdate, 'from' | 'to' | 'changes'>;
  readonly held: boolean;
}

/** The notice that a newer version waits, by name. */
export const UPDATE_VIEWS: Readonly<Record<string, Waiting>> = {
  numbers: {
    update: {
      from: '2.1.0',
      to: '2.2.0',
      changes: [
        'Travel times are a little longer.',
        'Doubles above C7 are counted.',
        'Weak repeats are told from silent ones by their level.',
        'A take of one stroke is left out.',
      ],
    },
    held: false,
  },
  held: { update: { from: '2.1.0', to: '2.1.0', changes: [] }, held: true },
};
