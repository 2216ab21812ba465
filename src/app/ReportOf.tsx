/** The report of the visit on the desk. It comes when it is asked for. */

import { useMemo, useState } from 'react';
import { reportHtml, reportTree } from '../report/html.ts';
import { withTexts } from '../report/markup.ts';
import { reportName, reportOf } from '../report/model.ts';
import { visitText } from '../report/visitFile.ts';
import type { ReportedVisit } from '../report/visit.ts';
import type { Desk } from './desk/desk.ts';
import { useLengths } from './lengths.ts';
import { ReportScreen } from './report/ReportScreen.tsx';
import { pageFonts, saveFile, soundZip, tablesZip } from './report/savedFiles.ts';

export function ReportOf({ desk }: { desk: Desk }) {
  const { report: reported, sitting } = desk;
  const [busy, setBusy] = useState<string | null>(null);
  const [outcome, setOutcome] = useState('');
  const inUnit = useLengths();
  const tree = useMemo(() => reported && reportTree(reportOf(reported), 'article'), [reported]);
  const paper = tree && withTexts(tree, inUnit);

  /** One deed at a time; what came of it is said, what went wrong too. */
  const during = async (words: string, deed: (reported: ReportedVisit, name: string) => Promise<string>) => {
    if (!reported) return;
    setBusy(words);
    setOutcome('');
    try {
      setOutcome(await deed(reported, reportName(reported)));
    } catch (cause) {
      const why = cause instanceof Error ? cause.message : String(cause);
      setOutcome(`It could not be saved: ${why.replace(/\.$/, '')}. Nothing is lost; try again.`);
    } finally {
      setBusy(null);
    }
  };
  const now = () => new Date().toISOString();

  return (
    <ReportScreen
      view={{ paper, busy, outcome }}
      actions={{
        print: () => window.print(),
        save: () =>
          void during('The file is written.', async (own, name) => {
            saveFile(`${name}.html`, [reportHtml(own, await pageFonts(), inUnit)], 'text/html');
            return `Saved as ${name}.html: one file that opens in any browser.`;
          }),
        saveTables: () =>
          void during('The tables are written.', async (own, name) => {
            saveFile(`${name}-tables.zip`, await tablesZip(own, now()), 'application/zip');
            return `Saved as ${name}-tables.zip: strokes, notes and work.`;
          }),
        saveVisit: () =>
          void during('The visit is written.', async (own, name) => {
            saveFile(`${name}.json`, [visitText(own)], 'application/json');
            return `Saved as ${name}.json: all of the visit but its sound.`;
          }),
        saveSound: () =>
          void during('The sound is written.', async (own, name) => {
            const { parts, takes } = await soundZip(own, sitting!.store, now());
            if (takes === 0) return 'No sound of this visit is kept on this device.';
            saveFile(`${name}-sound.zip`, parts, 'application/zip');
            return `Saved as ${name}-sound.zip: ${takes} ${takes === 1 ? 'take' : 'takes'} with a mark at every contact and onset.`;
          }),
      }}
    />
  );
}
