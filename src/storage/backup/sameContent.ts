/** Whether two kept things say the same, in whatever order their fields stand. */
export function sameContent(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b) || ArrayBuffer.isView(a) !== ArrayBuffer.isView(b)) return false;
  const [fields, others] = [Object.entries(a), new Map<string, unknown>(Object.entries(b))];
  return (
    fields.length === others.size &&
    fields.every(([key, value]) => others.has(key) && sameContent(value, others.get(key)))
  );
}
