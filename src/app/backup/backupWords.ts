/** What the backup screen says: sizes, what came of it, refusals. */

import type { BroughtIn } from '../../storage/backup/againstHere.ts';
import type { BackupMade } from '../../storage/backup/writeBackup.ts';
import type { StoreError } from '../../storage/store.ts';
import { bytesInWords } from '../desk/plans.ts';
import { namedWords } from '../desk/unread.ts';
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

/**
 * "Saved: 2 visits, 31 takes, 253 MB." and what is not in it, by name and reason.
 * @param unread - messages of what could not be read on this device
 */
export function savedWords({ counts, bytes, withoutSound }: BackupMade, unread: readonly string[] = []): string {
  const damaged = withoutSound.map(({ place, why }) => `the sound of ${place} (${why})`);
  return [
    `Saved: ${counted(counts.visits, 'visit')}, ${counted(counts.takes, 'take')}, ${bytesInWords(bytes)}.`,
    ...(damaged.length > 0 ? [`Not in it, as it is damaged on this device: ${listed(damaged)}.`] : []),
    ...(unread.length > 0 ? [`Not in it, as it cannot be read on this device: ${namedWords(unread)}`] : []),
  ].join(' ');
}

/** So many are named; more would not be read. */
const NAMED = 5;

function listed(names: readonly string[]): string {
  const rest = names.length - NAMED;
  return [...names.slice(0, NAMED), ...(rest > 0 ? [`and ${rest} more`] : [])].join(', ');
}

/** What goes with a visit and what stays. `size`: as {@link sizeWords} has it. */
export function removalWords(visit: string, size: string): string {
  return `${visit}: ${size}. The visit goes from this device with its rounds, takes, sound and notes of work. The piano and the hands that were learned stay. It comes back only from a backup.`;
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
  const told = [`${parts.join(', ')} brought in${already}.`];
  const other = differing.filter(({ unread }) => unread === null).map(({ place }) => place);
  if (other.length > 0) {
    const one = other.length === 1;
    told.push(`Here with other content, and left as ${one ? 'it is' : 'they are'}: ${listed(other)}.`);
  }
  const unread = differing.flatMap(({ place, unread: why }) => (why === null ? [] : [`${place} (${why})`]));
  if (unread.length > 0) {
    const one = unread.length === 1;
    told.push(
      `Here but not to be read, and left as ${one ? 'it is' : 'they are'}: ${listed(unread)}. To have ${one ? 'it' : 'them'} from the backup, remove the visit here first.`,
    );
  }
  return told.join(' ');
}

/** Why it was not done, as a notice. */
export function refusalNotice(error: StoreError, what: 'saving' | 'restoring' | 'removing'): Notice {
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
  const title = {
    saving: 'The backup was not saved',
    restoring: 'The backup was not brought in',
    removing: 'The visit was not removed',
  }[what];
  return { ...common, code: 'backup-failed', title, text: `${error.message}. ${error.remedy}` };
}
