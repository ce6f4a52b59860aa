/** Charts: heights against diameters with the stand's curve, diameters by class, the mean as plots are added. */
import { type ScaleLinear, scaleLinear } from 'd3-scale';
import { area, line } from 'd3-shape';
import type { ComponentChildren } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import * as wording from '../../shared/book/wording.ts';
import { centimetresPerInch, hectaresPerAcre, metresPerFoot } from '../../shared/units.ts';
import { usePage } from '../page.tsx';
import { curvePoints, diameterClasses, heightPoints, runningMean } from './chartdata.ts';
import { speciesIn } from './totals.tsx';

const width = 420;
const height = 290;
const margin = { left: 44, right: 12, top: 28, bottom: 46 };

type Scale = ScaleLinear<number, number>;

export function Charts() {
  const { host } = usePage();
  const [chosen, setChosen] = useState('');
  const { book } = host;
  const codes = useMemo(() => speciesIn(host.book.trees()), [host.version]);
  const species = chosen === '' ? null : Number(chosen);
  return (
    <div class="screen">
      <h1>Charts</h1>
      <p class="choices">
        <label>
          Species
          <select value={chosen} onChange={(event) => setChosen(event.currentTarget.value)}>
            <option value="">all</option>
            {codes.map((code) => (
              <option key={code} value={String(code)}>
                {wording.speciesName(code)}
              </option>
            ))}
          </select>
        </label>
      </p>
      <Heights species={species} codes={codes} />
      <Diameters species={species} />
      {[...book.plots()].length > 0 && <Running />}
    </div>
  );
}

/** Factors from feet and inches to what is shown. */
function useUnits() {
  const { host } = usePage();
  const metric = host.book.settings.now.units === 'metres';
  return metric
    ? { metric, length: metresPerFoot, lengthUnit: 'm', diameter: centimetresPerInch, diameterUnit: 'cm' }
    : { metric, length: 1, lengthUnit: 'ft', diameter: 1, diameterUnit: 'in' };
}

function Heights({ species, codes }: { readonly species: number | null; readonly codes: readonly number[] }) {
  const { host } = usePage();
  const { book } = host;
  const units = useUnits();
  const points = heightPoints(book, species);
  if (points.length === 0)
    return <Empty title="Height against diameter" why="No tree has both a diameter and a height yet." />;
  // A curve belongs to a species: with all shown, to the one of most trees.
  const curved = species ?? commonest(book.trees()) ?? codes[0] ?? null;
  const most = Math.max(...points.map((point) => point.diameterIn)) * 1.15;
  const least = Math.max(1, Math.min(...points.map((point) => point.diameterIn)) * 0.6);
  const curve = curvePoints(book, curved, least, most);
  const top = Math.max(...curve.map((at) => at.high), ...points.map((at) => at.heightFt + at.sdFt));
  const x = scaleLinear([0, most * units.diameter], [margin.left, width - margin.right]);
  const y = scaleLinear([0, top * units.length], [height - margin.bottom, margin.top]).nice();
  const dx = (inches: number) => x(inches * units.diameter);
  const fy = (feet: number) => y(feet * units.length);
  const band = area<(typeof curve)[number]>()
    .x((at) => dx(at.diameterIn))
    .y0((at) => fy(at.low))
    .y1((at) => fy(at.high));
  const middle = line<(typeof curve)[number]>()
    .x((at) => dx(at.diameterIn))
    .y((at) => fy(at.feet));
  const doubts = points.filter((point) => point.doubted);
  const name = wording.speciesName(curved);
  return (
    <Figure
      title="Height against diameter"
      says={`${points.length} trees; the line is what ${name} is expected to have here, nine in ten between the limits.${
        doubts.length > 0
          ? ` In doubt, as open squares: tree ${wording.list(doubts.map((at) => String(at.tree)))}.`
          : ''
      }`}
    >
      <path class="band" d={band(curve) ?? ''} />
      <path class="curve" d={middle(curve) ?? ''} />
      <Axes x={x} y={y} xName={`diameter, ${units.diameterUnit}`} yName={`height, ${units.lengthUnit}`} />
      {points.map((point) => (
        <g key={point.tree} class={point.doubted ? 'point doubted' : 'point'}>
          <title>{`Tree ${point.tree}`}</title>
          <line
            x1={dx(point.diameterIn)}
            x2={dx(point.diameterIn)}
            y1={fy(point.heightFt - point.sdFt)}
            y2={fy(point.heightFt + point.sdFt)}
          />
          {point.doubted ? (
            <>
              <rect x={dx(point.diameterIn) - 6} y={fy(point.heightFt) - 6} width={12} height={12} />
              <text x={dx(point.diameterIn) + 10} y={fy(point.heightFt) + 5}>
                {point.tree}?
              </text>
            </>
          ) : (
            <circle cx={dx(point.diameterIn)} cy={fy(point.heightFt)} r={4.5} />
          )}
        </g>
      ))}
    </Figure>
  );
}

function Diameters({ species }: { readonly species: number | null }) {
  const { host } = usePage();
  const units = useUnits();
  const classWidth = units.metric ? 5 / centimetresPerInch : 2;
  const classes = diameterClasses(host.book, species, classWidth);
  if (classes.length === 0) return <Empty title="Trees by diameter" why="No tree has a diameter yet." />;
  const x = scaleLinear(
    [classes[0]!.from * units.diameter, classes.at(-1)!.to * units.diameter],
    [margin.left, width - margin.right],
  );
  const most = Math.max(...classes.map((one) => one.live + one.dead));
  const y = scaleLinear([0, most * 1.08], [height - margin.bottom, margin.top]).nice();
  const dead = classes.reduce((sum, one) => sum + one.dead, 0);
  const all = classes.reduce((sum, one) => sum + one.live + one.dead, 0);
  return (
    <Figure
      title="Trees by diameter"
      says={`${all} trees in classes of ${units.metric ? '5 centimetres' : '2 inches'}${
        dead > 0 ? `, ${dead} of them dead (hatched)` : ''
      }.`}
    >
      <defs>
        <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <line class="hatch" x1="0" y1="0" x2="0" y2="6" />
        </pattern>
      </defs>
      <Axes x={x} y={y} xName={`diameter, ${units.diameterUnit}`} yName="trees" whole />
      {classes.map((one) => {
        const left = x(one.from * units.diameter) + 1.5;
        const wide = Math.max(2, x(one.to * units.diameter) - left - 1.5);
        return (
          <g key={one.from}>
            <rect class="bar" x={left} width={wide} y={y(one.live)} height={y(0) - y(one.live)} />
            <rect
              class="bar dead"
              x={left}
              width={wide}
              y={y(one.live + one.dead)}
              height={y(one.live) - y(one.live + one.dead)}
            />
          </g>
        );
      })}
    </Figure>
  );
}

function Running() {
  const { host } = usePage();
  const { metric } = useUnits();
  const factor = metric ? metresPerFoot ** 2 / hectaresPerAcre : 1;
  const means = runningMean(host.book);
  if (means.length === 0)
    return <Empty title="Mean basal area as plots are added" why="No plot has a size and a tree yet." />;
  const top = Math.max(...means.map((at) => at.mean * 1.6), means.at(-1)!.high ?? 0, 1) * factor;
  const x = scaleLinear([1, Math.max(2, means.length)], [margin.left + 12, width - margin.right - 8]);
  const y = scaleLinear([0, top], [height - margin.bottom, margin.top]).nice();
  // Two plots can have limits far off the paper: they are cut at its edge.
  const cut = (value: number) => Math.max(margin.top, y(value * factor));
  const mean = line<(typeof means)[number]>()
    .x((at) => x(at.plots))
    .y((at) => y(at.mean * factor));
  const last = means.at(-1)!;
  const unit = metric ? 'm² a hectare' : 'ft² an acre';
  return (
    <Figure
      title="Mean basal area as plots are added"
      says={`${(last.mean * factor).toFixed(0)} ${unit} from ${last.plots} ${last.plots === 1 ? 'plot' : 'plots'}${
        last.low === null || last.high === null
          ? '; one plot has no error yet'
          : `, nine in ten sure between ${(last.low * factor).toFixed(0)} and ${(last.high * factor).toFixed(0)}`
      }.`}
    >
      {means.map(
        (at) =>
          at.low !== null &&
          at.high !== null && (
            <line
              key={at.plots}
              class="limits"
              x1={x(at.plots)}
              x2={x(at.plots)}
              y1={cut(at.low)}
              y2={cut(at.high)}
            />
          ),
      )}
      <path class="curve" d={mean(means) ?? ''} />
      {means.map((at) => (
        <circle key={at.plots} class="dot" cx={x(at.plots)} cy={y(at.mean * factor)} r={4} />
      ))}
      <Axes x={x} y={y} xName="plots" yName={unit} whole />
    </Figure>
  );
}

function Figure(props: {
  readonly title: string;
  readonly says: string;
  readonly children: ComponentChildren;
}) {
  return (
    <figure class="chart">
      <figcaption>
        <h2>{props.title}</h2>
        <p>{props.says}</p>
      </figcaption>
      <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`${props.title}. ${props.says}`}>
        {props.children}
      </svg>
    </figure>
  );
}

function Empty({ title, why }: { readonly title: string; readonly why: string }) {
  return (
    <section>
      <h2>{title}</h2>
      <p class="none">{why}</p>
    </section>
  );
}

interface AxesProps {
  readonly x: Scale;
  readonly y: Scale;
  readonly xName: string;
  readonly yName: string;
  /** Only whole numbers can be. */
  readonly whole?: boolean;
}

function Axes({ x, y, xName, yName, whole }: AxesProps) {
  const kept = (ticks: number[]) => (whole ? ticks.filter(Number.isInteger) : ticks);
  return (
    <g class="axes">
      {kept(y.ticks(5)).map((value) => (
        <g key={value}>
          <line class="grid" x1={margin.left} x2={width - margin.right} y1={y(value)} y2={y(value)} />
          <text x={margin.left - 8} y={y(value) + 5} text-anchor="end">
            {value}
          </text>
        </g>
      ))}
      <line x1={margin.left} x2={width - margin.right} y1={y(0)} y2={y(0)} />
      {kept(x.ticks(6)).map((value) => (
        <text key={value} x={x(value)} y={height - margin.bottom + 19} text-anchor="middle">
          {value}
        </text>
      ))}
      <text class="name" x={width - margin.right} y={height - 6} text-anchor="end">
        {xName}
      </text>
      <text class="name" x={4} y={14}>
        {yName}
      </text>
    </g>
  );
}

function commonest(trees: Iterable<{ readonly species: number | null }>): number | null {
  const counts = new Map<number, number>();
  for (const { species } of trees) if (species !== null) counts.set(species, (counts.get(species) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? null;
}
