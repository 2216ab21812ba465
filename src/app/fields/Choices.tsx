/** One of a few, as buttons side by side; the chosen one tapped again chooses none, where that may be. */

interface Props<T extends string> {
  readonly label: string;
  readonly of: readonly T[];
  readonly words: Readonly<Record<T, string>>;
  readonly chosen: T | null;
  onChoose(one: T): void;
  /** Called where the chosen one is tapped again. */
  readonly onNone?: () => void;
  readonly disabled?: boolean;
  /** The name stands elsewhere already. */
  readonly unnamed?: boolean;
}

export function Choices<T extends string>({
  label,
  of,
  words,
  chosen,
  onChoose,
  onNone,
  disabled,
  unnamed = false,
}: Props<T>) {
  return (
    <fieldset className="field choices" disabled={disabled}>
      <legend className={unnamed ? 'unseen' : undefined}>{label}</legend>
      <div>
        {of.map((one) => (
          <button
            key={one}
            type="button"
            aria-pressed={one === chosen}
            onClick={() => (one === chosen ? onNone?.() : onChoose(one))}
          >
            {words[one]}
          </button>
        ))}
      </div>
    </fieldset>
  );
}
