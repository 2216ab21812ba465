/**
 * How the report looks: on the screen as sheets of paper, printed on A4. Paper is white and its ink is the light theme's; shapes and
 * words carry all that colour says, so that it prints in grey without loss.
 *
 * The running foot and the page numbers stand in the page's margin (W3C CSS Paged Media Module Level 3, "Page-margin boxes");
 * where a browser does not know those, each sheet still ends with its own foot.
 */

import { COLOURS, pictureRules, ROOM } from '../pictures/colours.ts';

/** Rules of the report. Its fonts are the page's (`--text`, `--stamp`), or what the system has. */
export function reportRules(): string {
  const tokens = COLOURS.map((colour) => `--${colour}:${ROOM[colour]}`).join(';');
  return `.report{${tokens};color-scheme:light;color:var(--ink);font:.875rem/1.4 var(--text,system-ui,sans-serif);text-align:left}
${pictureRules()}
${RULES}
@media print{${PRINT}}`;
}

/** The page's own size and margins, with the running foot. Rules of pages hold for a whole document only. */
export function pageRules(foot: string): string {
  const margin = (text: string) =>
    `@bottom-left{content:${text};font:11px system-ui,sans-serif;color:#444c5c;vertical-align:top;padding-top:8px;border-top:1px solid #d5dae2}` +
    '@bottom-right{content:"page " counter(page) " of " counter(pages);font:11px system-ui,sans-serif;color:#444c5c;vertical-align:top;padding-top:8px;border-top:1px solid #d5dae2}';
  const words = cssText(foot);
  return `@page{size:A4;margin:40px 62px 52px;${margin(words)}}
@page sheet{margin:40px 50px 56px}`;
}

/** A text as CSS holds it: all but letters and figures by their code, so that nothing ends the text early. */
export function cssText(text: string): string {
  const inner = [...text].map((letter) =>
    /[A-Za-z0-9]/.test(letter) ? letter : `\\${letter.codePointAt(0)!.toString(16)} `,
  );
  return `"${inner.join('')}"`;
}

const RULES = `.report *{box-sizing:border-box}
.report .page{max-width:794px;margin:0 auto 24px;padding:44px 62px;background:var(--card);box-shadow:0 1px 3px #12161f22;overflow-wrap:break-word}
.report .sheet{padding:40px 50px}
.report header{display:flex;flex-wrap:wrap;align-items:center;gap:4px 12px;padding-bottom:10px;border-bottom:2px solid var(--ink)}
.report header strong{flex:1 1 auto;font:700 1.25rem/1.2 var(--stamp,Rockwell,Georgia,serif)}
.report h1,.report h2,.report h3{font-family:var(--stamp,Rockwell,Georgia,serif);font-weight:700;line-height:1.2;margin:0;break-after:avoid}
.report h1{font-size:2rem;line-height:1.12;margin:18px 0 6px;text-wrap:balance}
.report .sheet h1{font-size:1.875rem;margin-top:18px}
.report h2{font-size:1.1875rem;margin:12px 0 3px}
.report h3{font-size:1.0625rem}
.report p{margin:0 0 6px}
.report .lead,.report .second{color:var(--ink2)}
.report .trust{margin-top:10px;color:var(--ink2);font-size:.8125rem}
.report .counts{display:grid;grid-template-columns:repeat(4,1fr);margin:12px 0 0;padding:0;border:solid var(--ink);border-width:1px 0;list-style:none}
.report .counts li{padding:8px 8px 8px 14px;border-left:1px solid var(--hair);color:var(--ink2);line-height:1.35}
.report .counts li:first-child{padding-left:0;border-left:0}
.report .counts b{display:flex;align-items:center;gap:10px;color:var(--ink);font:700 2.125rem/1.1 var(--stamp,Rockwell,Georgia,serif)}
.report .counts li>span{display:block}
.report .glyph{flex:none;width:26px;height:26px;vertical-align:-7px;fill:none;stroke:currentColor;stroke-linecap:round;stroke-linejoin:round}
.report .glyph .solid{fill:currentColor;stroke:none}
.report .hammer{width:32px;height:32px}
.report .chart{forced-color-adjust:none;background:#fff}
.report .chart svg{display:block;width:100%;height:auto}
.report .legend{display:flex;flex-wrap:wrap;gap:0 16px;margin:0;padding:0;list-style:none;color:var(--ink2);font-size:.75rem}
.report .legend svg{width:14px;height:11px;margin-right:5px;fill:var(--ink2)}
.report .note{white-space:nowrap}
.report .sharp{width:.43em;height:.72em;vertical-align:.08em;margin:0 .04em;fill:none;stroke:currentColor}
.report .stamped{font:700 1.1875rem/1.1 var(--stamp,Rockwell,Georgia,serif);white-space:nowrap}
.report .stamped .sharp{width:.37em;height:.62em;vertical-align:.3em}
.report small{font-size:.72em}
.report table{width:100%;border-collapse:collapse;font-size:.8438rem;line-height:1.3}
.report .scroll{overflow-x:auto}
.report th,.report td{padding:6px 10px 6px 0;text-align:left;vertical-align:top;font-weight:400}
.report thead th{padding-top:12px;border-bottom:1px solid var(--ink);font-weight:700;vertical-align:bottom}
.report tbody tr:last-child>*{border-bottom:1px solid var(--hair)}
.report th:last-child,.report td:last-child{padding-right:0}
.report .outcome{white-space:nowrap;font-weight:700}
.report .outcome .glyph{width:19px;height:19px;margin-right:5px;vertical-align:-4px}
.report .outcome-improved{color:var(--dusk)}
.report .outcome-worse{color:var(--ember)}
.report .outcome-no-change-shown,.report .outcome-insufficient,.report .outcome-not-heard{color:var(--ink2)}
.report .pairs{display:grid;grid-template-columns:auto 1fr;margin:2px 0 0}
.report .pairs dt,.report .pairs dd{margin:0;padding:4px 0;border-bottom:1px solid var(--hair)}
.report .pairs dd{padding-left:14px;text-align:right;font-weight:700}
.report .blocks{columns:2;column-gap:32px}
.report .block{break-inside:avoid;padding-top:16px}
.report .block h2{margin-top:0}
.report ul.lines{margin:2px 0 0;padding:0;list-style:none}
.report ul.lines li{padding:4px 0;border-bottom:1px solid var(--hair)}
.report .card{break-inside:avoid;margin-top:14px;padding-top:10px;border-top:1px solid var(--hair)}
.report header+.card{margin-top:8px;border-top:0}
.report .card h3{display:flex;align-items:center;gap:10px}
.report .card ol,.report .card ul{margin:4px 0 0;padding-left:20px;font-size:.8438rem}
.report .cautions{break-inside:avoid;margin-top:16px;padding-left:14px;border-left:5px solid var(--ink);font-size:.8438rem}
.report .cautions p{margin:0 0 2px}
.report footer{display:flex;justify-content:space-between;gap:16px;margin-top:22px;padding-top:8px;border-top:1px solid var(--hair);color:var(--ink2);font-size:.7812rem}
@media screen and (max-width:640px){.report{font-size:1rem}.report table,.report .card ol,.report .card ul,.report .cautions,.report .trust,.report .legend{font-size:.9375rem}.report .page,.report .sheet{padding:24px 20px}.report h1{font-size:1.75rem}.report .counts{grid-template-columns:repeat(2,1fr)}.report .counts li:nth-child(odd){padding-left:0;border-left:0}.report .blocks{columns:1}}`;

const PRINT = `.report .page,.report .sheet{max-width:none;margin:0;padding:0;box-shadow:none;break-after:page}
.report .page:last-child{break-after:auto}
.report .sheet{page:sheet}
.report .scroll{overflow:visible}
.report tbody,.report tr{break-inside:avoid}`;
