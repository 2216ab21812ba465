/** What a newer version changes in numbers, as the changelog says it. */

/** The changes of one version. */
export interface VersionChanges {
  /** As the heading has it: "0.2.0", "Unreleased". */
  readonly name: string;
  readonly analysisVersion: string;
  /** One for each of its points, the first sentence of it. */
  readonly lines: readonly string[];
}

/** `version.json` of a build. */
export interface VersionFile {
  readonly analysisVersion: string;
  readonly changes: readonly VersionChanges[];
}

/** The versions of a changelog, newest first. Headings are "## 0.2.0 (analysis 0.3.0)"; others are let be. */
export function changesIn(changelog: string): VersionChanges[] {
  return changelog
    .split(/^## /m)
    .slice(1)
    .flatMap((section) => {
      const heading = /^(.+?) \(analysis (\d+\.\d+\.\d+)\)/.exec(section);
      if (!heading) return [];
      const points = section.split(/^- /m).slice(1);
      return [{ name: heading[1], analysisVersion: heading[2], lines: points.map(firstSentence) }];
    });
}

/** Whether an analysis version is later than another. */
export function isLater(version: string, than: string): boolean {
  const [a, b] = [version, than].map((each) => each.split('.').map(Number));
  const place = a.findIndex((part, i) => part !== b[i]);
  return place >= 0 && a[place] > b[place];
}

/** What is in `version.json`; null for anything else. */
export function versionFileOf(value: unknown): VersionFile | null {
  const { analysisVersion, changes } = Object(value) as Partial<VersionFile>;
  if (typeof analysisVersion !== 'string' || !/^\d+\.\d+\.\d+/.test(analysisVersion)) return null;
  const good = (Array.isArray(changes) ? (changes as unknown[]) : []).filter(isVersionChanges);
  return { analysisVersion, changes: good };
}

function isVersionChanges(value: unknown): value is VersionChanges {
  const { name, analysisVersion, lines } = Object(value) as Partial<VersionChanges>;
  return (
    typeof name === 'string' &&
    typeof analysisVersion === 'string' &&
    Array.isArray(lines) &&
    lines.every((line) => typeof line === 'string')
  );
}

function firstSentence(point: string): string {
  const text = point.trim().replace(/\s+/g, ' ').replaceAll('`', '');
  return /^.*?[.:;](?= |$)/.exec(text)?.[0].replace(/[:;]$/, '.') ?? text;
}
