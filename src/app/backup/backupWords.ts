/** What the backup screen says: sizes, what came of it, refusals. */

import type { BroughtIn } from '../../storage/backup/readBackup.ts';
import type { BackupMade } from '../../storage/backup/writeBackup.ts';
import type { StoreError } from '../../storage/store.ts';
import { bytesInWords } from '../desk/plans.ts';
import type { Notice } from '../listen/view.ts';
import { counted } from '../words.ts';

interface Sized {
  readonly visits: number;
  readonly takes: number;
  readonly soundBytes: number;
}

/** "2 visits, 31 takes, about 253 MB". */
export function sizeWords({ visits, takes, soundBytes }: Sized, everything: boolean): string {
  const parts = [...(everything ? [counted(visits, 'visit')] : []), counted(takes, 'take')];
  return [...parts, soundBytes > 0 ? `about ${bytesInWords(soundBytes)}` : 'without sound'].join(', ');
}

/** "Saved: 2 visits, 31 takes, 253 MB." and what is not in it. */
export function savedWords({ counts, bytes, withoutSound }: BackupMade): string {
  const saved = `Saved: ${counted(counts.visits, 'visit')}, ${counted(counts.takes, 'take')}, ${bytesInWords(bytes)}.`;
  if (withoutSound.length === 0) return saved;
  return `${saved} The sound of ${counted(withoutSound.length, 'take')} is damaged on this device and is not in it.`;
}

/** "2 visits, 31 takes brought in; 4 were here already." and what differs. */
export function broughtInWords({ broughtIn, here, differing }: BroughtIn): string {
  const all = (counts: BroughtIn['here']) => Object.values(counts).reduce((sum, n) => sum + n, 0);
  const [fresh, known] = [all(broughtIn), all(here)];
  const parts = [
    ...(broughtIn.visits > 0 ? [counted(broughtIn.visits, 'visit')] : []),
    ...(broughtIn.takes > 0 ? [counted(broughtIn.takes, 'take')] : []),
  ];
  if (fresh === 0) parts.push('Nothing');
  else if (parts.length === 0) parts.push(counted(fresh, 'entry').replace(/entrys$/, 'entries'));
  // Of visits and takes, which people count; pianos and readings are seldom asked for.
  const mostly = here.visits + here.takes || known;
  const already = known === 0 ? '' : `; ${mostly} ${mostly === 1 ? 'was' : 'were'} here already`;
  const one = differing.length === 1;
  const left =
    differing.length === 0
      ? ''
      : ` ${differing.length} of what was here ${one ? 'differs' : 'differ'} from the backup and ${one ? 'was' : 'were'} left as ${one ? 'it is' : 'they are'} here.`;
  return `${parts.join(', ')} brought in${already}.${left}`;
}

/** Why it was not done, as a notice. */
export function refusalNotice(error: StoreError, what: 'saving' | 'restoring'): Notice {
  const again = [{ id: 'choose', label: 'Choose another' }];
  const common = { stops: true, text: error.message, actions: [] };
  if (what === 'restoring' && error.code === 'damaged') {
    return { ...common, code: 'backup-damaged', title: 'This backup cannot be read', actions: again };
  }
  if (what === 'restoring' && error.code === 'newer') {
    const title = 'This backup comes from a newer Evenfall';
    return { ...common, code: 'backup-newer', title, text: `${error.remedy} Nothing was changed here.` };
  }
  if (error.code === 'full') {
    return {
      ...common,
      code: 'storage',
      title: 'No room left on this device',
      text: `${error.message.replace(/(?<!\.)$/, '.')} ${error.remedy}`,
    };
  }
  const title = what === 'saving' ? 'The backup was not saved' : 'The backup was not brought in';
  return { ...common, code: 'backup-failed', title, text: `${error.message}. ${error.remedy}` };
}
