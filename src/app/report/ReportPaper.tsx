/**
 * The report as it will be printed, in a tree of its own: its rules and the page's do not meet.
 *
 * The rules are those of the saved file. They come as a constructed style sheet, which the page's policy allows as it allows any other
 * work of its own code (no style stands in the markup).
 */

import { useEffect, useRef, useState } from 'react';
import { createPortal } from 'react-dom';
import type { PictureNode } from '../../pictures/element.ts';
import { reportRules } from '../../report/style.ts';
import { PictureNodes } from '../pictures/Picture.tsx';

export function ReportPaper({ paper }: { paper: PictureNode }) {
  const host = useRef<HTMLDivElement>(null);
  const [root, setRoot] = useState<ShadowRoot | null>(null);
  useEffect(() => {
    const shadow = host.current!.shadowRoot ?? host.current!.attachShadow({ mode: 'open' });
    const rules = new CSSStyleSheet();
    rules.replaceSync(reportRules());
    shadow.adoptedStyleSheets = [rules];
    setRoot(shadow);
  }, []);
  return (
    <div className="report-paper" ref={host}>
      {root && createPortal(<PictureNodes nodes={[paper]} />, root)}
    </div>
  );
}
