/** Marks of a drawing as elements of the page; their looks are in the styles, by class. */
import type { ComponentChild } from 'preact';
import type { Mark } from '../../shared/report/charts/drawing.ts';

export function markElement(mark: Mark, key: number): ComponentChild {
  const style = mark.style === undefined ? {} : { class: mark.style };
  switch (mark.mark) {
    case 'line': {
      const [x1, y1] = mark.from;
      const [x2, y2] = mark.to;
      return <line key={key} {...style} x1={x1} y1={y1} x2={x2} y2={y2} />;
    }
    case 'path':
      return <path key={key} {...style} d={mark.d} />;
    case 'circle':
      return <circle key={key} {...style} cx={mark.at[0]} cy={mark.at[1]} r={mark.r} />;
    case 'box':
      return (
        <rect key={key} {...style} x={mark.at[0]} y={mark.at[1]} width={mark.width} height={mark.height} />
      );
    case 'text':
      return (
        <text key={key} {...style} x={mark.at[0]} y={mark.at[1]} text-anchor={mark.anchor ?? 'start'}>
          {mark.text}
        </text>
      );
    case 'group':
      return (
        <g key={key} {...style}>
          {mark.title !== undefined && <title>{mark.title}</title>}
          {mark.marks.map(markElement)}
        </g>
      );
  }
}
