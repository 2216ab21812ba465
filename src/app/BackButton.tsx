/** The way back, the same on every screen. */

import { Icon } from './glyphs.tsx';

interface Props {
  onBack: () => void;
  /** Where that leads, if it is not where one came from. */
  leads?: 'Home';
}

export function BackButton({ onBack, leads }: Props) {
  return (
    <button type="button" className={leads ? 'bare leads-home' : 'bare'} aria-label={leads ?? 'Back'} onClick={onBack}>
      <Icon name="back" />
    </button>
  );
}
