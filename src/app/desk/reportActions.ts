/** The report of the visit on the desk, as the desk opens it. */

import { Refiner } from '../sitting/refiner.ts';
import type { Desk } from './desk.ts';

/** Shows the report of the visit on the desk, from wherever one is; it is made anew each time, for the visit may have gone on. */
export async function openReport(desk: Desk): Promise<void> {
  const { sitting } = desk;
  if (!sitting) return;
  desk.report = null;
  desk.go('report');
  const refiner = new Refiner();
  await desk.attempt(async () => {
    const { reportedVisit } = await import('../report/reportedVisit.ts');
    const report = await reportedVisit(sitting, refiner, desk.demo);
    // The visit may have been put away meanwhile.
    if (desk.sitting === sitting) desk.report = report;
  });
  refiner.close();
  // Why it could not be made is told there.
  if (desk.report === null && desk.screen === 'report') desk.go('round');
}
