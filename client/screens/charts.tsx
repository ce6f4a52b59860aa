/** Charts: heights against diameters with the stand's curve, diameters by class, the mean as plots are added, the plots' map. */
import type { ComponentChildren } from 'preact';
import { useEffect, useMemo, useState } from 'preact/hooks';
import type { DrawnPoint, Mark } from '../../shared/report/charts/drawing.ts';
import {
  type Drawn,
  diametersDrawing,
  heightsDrawing,
  runningDrawing,
} from '../../shared/report/charts/drawings.ts';
import { groundDrawing } from '../../shared/report/charts/ground.ts';
import { mapDrawing, plotSpots } from '../../shared/report/charts/map.ts';
import { layOut, mapLength } from '../../shared/report/charts/map-layout.ts';
import * as wording from '../../shared/wording/wording.ts';
import type { Conversation } from '../conversation/conversation.ts';
import { SpeciesChoice } from './controls.tsx';
import { EdgeFromFile } from './edge-file.tsx';
import { markElement } from './marks.tsx';
import { usePage } from './page.tsx';
import { TheWay } from './way.tsx';

export function Charts() {
  const { conversation } = usePage();
  const [chosen, setChosen] = useState('');
  const { book } = conversation;
  const species = chosen === '' ? null : Number(chosen);
  const sampled = useMemo(() => [...book.plots()], [conversation.version]);
  const turn = useTurns(3);
  return (
    <div class="screen">
      <h1>Charts</h1>
      {book.land.any && (
        <>
          <TheWay />
          <BookChart title="Edge and plots" draw={() => groundDrawing(book, conversation.device)} />
        </>
      )}
      <EdgeFromFile />
      <p class="choices">
        <SpeciesChoice value={chosen} onPick={setChosen} />
      </p>
      <HeightChart species={species} />
      <BookChart title="Trees by diameter" draw={() => diametersDrawing(book, species)} of={chosen} />
      {turn > 1 && sampled.length > 0 && (
        <BookChart title="Mean basal area as plots are added" draw={() => runningDrawing(book)} />
      )}
      {turn > 2 && sampled.some((plot) => book.entry(plot.id)?.position) && (
        <>
          <BookChart title="Where the plots are" draw={() => mapDrawing(book)} />
          <Ways />
        </>
      )}
    </div>
  );
}

/** Counts to `most`, one a frame: the first charts are seen before the last are drawn. */
function useTurns(most: number): number {
  const [turn, setTurn] = useState(1);
  useEffect(() => {
    if (turn >= most) return;
    const timer = setTimeout(() => setTurn(turn + 1));
    return () => clearTimeout(timer);
  }, [turn, most]);
  return turn;
}

/** A chart of the book: drawn again when the book, or what it is drawn `of`, is another. */
function BookChart(props: { readonly title: string; readonly draw: () => Drawn; readonly of?: string }) {
  const { conversation } = usePage();
  const drawn = useMemo(props.draw, [conversation.version, props.of]);
  return <Chart title={props.title} drawn={drawn} />;
}

/** Points of the drawing as they stand, by the tree that each is of. */
interface TreePoint {
  readonly tree: number;
  readonly at: DrawnPoint;
}

/** Furthest from a point that a touch still means it, points of the screen. */
const nearest = 32;

/** Heights against diameters; a touch, or the button for who has none, names the tree of a point. */
function HeightChart({ species }: { readonly species: number | null }) {
  const { conversation } = usePage();
  const drawn = useMemo(() => heightsDrawing(conversation.book, species), [conversation.version, species]);
  const [chosen, setChosen] = useState<number | null>(null);
  const points = typeof drawn === 'string' ? [] : pointsOf(drawn.marks);
  const touch = (event: MouseEvent) => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    if (typeof drawn === 'string') return;
    const scale = box.width / drawn.width;
    const [x, y] = [(event.clientX - box.left) / scale, (event.clientY - box.top) / scale];
    const far = (point: TreePoint) => Math.hypot(point.at[0] - x, point.at[1] - y);
    const best = points.reduce<TreePoint | null>(
      (near, point) => (near === null || far(point) < far(near) ? point : near),
      null,
    );
    setChosen(best && far(best) * scale <= nearest ? best.tree : null);
  };
  const next = () => {
    const at = points.findIndex((point) => point.tree === chosen);
    setChosen(points[(at + 1) % points.length]?.tree ?? null);
  };
  return (
    <Chart title="Height against diameter" drawn={drawn} onTouch={touch} chosen={chosen}>
      {points.length > 0 && (
        <div class="onetree">
          <p role="status">
            {chosen === null ? 'Touch a point for its tree.' : treeSays(conversation, chosen)}
          </p>
          {chosen !== null && (
            <a class="button" href={`#book/tree/${chosen}`}>
              In the book
            </a>
          )}
          <button type="button" onClick={next}>
            {chosen === null ? 'Tree by tree' : 'Next tree'}
          </button>
        </div>
      )}
    </Chart>
  );
}

/** Trees from the thinnest to the thickest, where their points are. */
function pointsOf(marks: readonly Mark[]): TreePoint[] {
  const points = marks.flatMap((mark): TreePoint[] => {
    if (mark.mark !== 'group' || !mark.style.startsWith('point')) return [];
    const tree = Number(/^Tree (\d+)$/.exec(mark.title ?? '')?.[1]);
    for (const part of mark.marks) {
      if (part.mark === 'circle') return [{ tree, at: part.at }];
      if (part.mark === 'box')
        return [{ tree, at: [part.at[0] + part.width / 2, part.at[1] + part.height / 2] }];
    }
    return [];
  });
  return points.sort((a, b) => a.at[0] - b.at[0]);
}

function treeSays({ book, settings }: Conversation, number: number): string {
  const tree = book.treeNumbered(number);
  if (!tree) return '';
  const height =
    tree.heightFt === null
      ? 'its height waits for an answer'
      : wording.heightAndError(tree.heightFt, tree.heightSdFt ?? 0, settings.units);
  return wording.sentence(`Tree ${number}, ${wording.treeFacts(tree, settings.units)}: ${height}`);
}

/** From plot to plot in words and numbers: what the map shows, for a compass and for who cannot see it. */
function Ways() {
  const { conversation } = usePage();
  const { units } = conversation.settings;
  const laid = useMemo(
    () => layOut(plotSpots(conversation.book), { width: 420, height: 360, margin: 44, units }),
    [conversation.version, units],
  );
  if (!laid.ok || laid.value.legs.length === 0) return null;
  return (
    <details>
      <summary>From plot to plot</summary>
      <table>
        <thead>
          <tr>
            <th scope="col">way</th>
            <th scope="col">length</th>
            <th scope="col">give or take</th>
            <th scope="col">true bearing</th>
          </tr>
        </thead>
        <tbody>
          {laid.value.legs.map(({ from, to, metres, giveOrTakeMetres, bearingDegrees }) => (
            <tr key={to.id}>
              <th scope="row">
                {from.number} to {to.number}
              </th>
              <td>{mapLength(metres, units)}</td>
              <td>{mapLength(giveOrTakeMetres, units)}</td>
              <td>{Math.round(bearingDegrees) % 360}°</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}

function Chart({
  title,
  drawn,
  onTouch,
  chosen = null,
  children,
}: {
  readonly title: string;
  readonly drawn: Drawn;
  readonly onTouch?: (event: MouseEvent) => void;
  /** Number of the tree whose point is marked. */
  readonly chosen?: number | null;
  readonly children?: ComponentChildren;
}) {
  if (typeof drawn === 'string') {
    return (
      <section>
        <h2>{title}</h2>
        <p class="none">{drawn}</p>
      </section>
    );
  }
  return (
    <figure class="chart">
      <figcaption>
        <h2>{drawn.title}</h2>
        <p>{drawn.says}</p>
      </figcaption>
      <svg
        viewBox={`0 0 ${drawn.width} ${drawn.height}`}
        role="img"
        aria-label={`${drawn.title}. ${drawn.says}`}
        {...(onTouch ? { onClick: onTouch } : {})}
      >
        {drawn.hatched && (
          <defs>
            <pattern
              id="hatch"
              width="6"
              height="6"
              patternUnits="userSpaceOnUse"
              patternTransform="rotate(45)"
            >
              <line class="hatch" x1="0" y1="0" x2="0" y2="6" />
            </pattern>
          </defs>
        )}
        {drawn.marks.map((mark, key) =>
          markElement(
            mark.mark === 'group' && chosen !== null && mark.title === `Tree ${chosen}`
              ? { ...mark, style: `${mark.style} chosen` }
              : mark,
            key,
          ),
        )}
      </svg>
      {children}
    </figure>
  );
}
