/** The platform line on Home: of the last visit, or of the demo visit where nothing was heard yet. */

import { useEffect, useState } from 'react';
import { countColours } from '../../pictures/compass/compassNote.ts';
import { LAPTOP_PLATFORM, PHONE_PLATFORM, platformLine, type LineMark } from '../../pictures/compass/platformLine.ts';
import type { Round } from '../../record/types.ts';
import { ChartPicture } from '../pictures/Picture.tsx';
import type { HomeLine } from './view.ts';

type Summary = NonNullable<Round['summary']>;

/** Address of the demo visit's line. */
const [DEMO] = Object.values(
  import.meta.glob<string>('../../../samples/demo/line.json', { query: '?url', import: 'default', eager: true }),
);
const DEMO_TITLE = 'Demo visit, round 1';

export function HomeLinePicture({ line, demo: offered }: { line: HomeLine | null; demo: boolean }) {
  const [demo, setDemo] = useState<Summary | null>(null);
  const lacking = line === null && offered;
  useEffect(() => {
    if (!lacking) return;
    let left = false;
    // Without it Home is as useful: a host that does not give the file leaves the place empty.
    fetch(DEMO)
      .then((answer) => answer.json() as Promise<Summary>)
      .then(
        (summary) => {
          if (!left) setDemo(summary);
        },
        () => undefined,
      );
    return () => {
      left = true;
    };
  }, [lacking]);
  const summary = line?.summary ?? demo;
  if (!summary) return null;
  const notes = marksOf(summary);
  return (
    <figure>
      <ChartPicture className="narrow-only" chart={platformLine({ notes }, PHONE_PLATFORM)} />
      <ChartPicture className="wide-only" chart={platformLine({ notes }, LAPTOP_PLATFORM)} />
      <figcaption>
        <strong>{line?.title ?? DEMO_TITLE}.</strong> On the line: what failed to speak again. Under it: how evenly the
        hammer waits.
      </figcaption>
    </figure>
  );
}

function marksOf({ verdicts, line }: Summary): LineMark[] {
  return line.map((note) => {
    const verdict = verdicts.find(({ midi }) => midi === note.midi)?.verdict ?? 'insufficient';
    return { ...note, verdict, colours: countColours({ ...note, verdict }) };
  });
}
