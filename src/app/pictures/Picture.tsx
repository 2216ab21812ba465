/** A picture's tree of elements as React elements: the same tree that reports and files write as text. */

import { createElement, memo, type ReactNode } from 'react';
import type { Chart } from '../../pictures/chart.ts';
import type { PictureNode } from '../../pictures/element.ts';

/** Elements of a picture, to stand within an `<svg>`. Trees that are the same are not drawn again. */
export const PictureNodes = memo(function PictureNodes({ nodes }: { nodes: readonly (PictureNode | string)[] }) {
  return nodes.map(nodeOf);
});

/** A chart as an image: its result is what is read aloud in its place. */
export function ChartPicture({ chart, className }: { chart: Chart; className?: string }) {
  const { width, height, result, marks } = chart;
  return (
    <svg
      className={className}
      role="img"
      aria-label={result}
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
    >
      <PictureNodes nodes={marks} />
    </svg>
  );
}

function nodeOf(node: PictureNode | string, index: number): ReactNode {
  if (typeof node === 'string') return node;
  const props: Record<string, string | number> = { key: index };
  for (const [name, value] of Object.entries(node.attributes)) props[propertyOf(name)] = value;
  return createElement(node.tag, props, ...node.children.map(nodeOf));
}

/** As React calls an attribute: "stroke-width" is "strokeWidth"; "aria-" and "data-" stay. */
function propertyOf(name: string): string {
  if (name === 'class') return 'className';
  if (/^(aria|data)-/.test(name)) return name;
  return name.replace(/[-:]([a-z])/g, (_, letter: string) => letter.toUpperCase());
}
