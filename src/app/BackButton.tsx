/** The way back, the same on every screen. */

import { Icon } from './glyphs.tsx';

export function BackButton({ onBack }: { onBack: () => void }) {
  return (
    <button type="button" className="bare" aria-label="Back" onClick={onBack}>
      <Icon name="back" />
    </button>
  );
}
