/** Charts: heights against diameters with the stand's curve, diameters by class, the mean as plots are added, the plots' map. */
import { useState } from 'preact/hooks';
import {
  type Drawn,
  diametersDrawing,
  heightsDrawing,
  runningDrawing,
} from '../../shared/report/charts/drawings.ts';
import { mapDrawing, plotSpots } from '../../shared/report/charts/map.ts';
import { layOut, mapLength } from '../../shared/report/charts/map-layout.ts';
import { SpeciesChoice } from './controls.tsx';
import { markElement } from './marks.tsx';
import { usePage } from './page.tsx';

export function Charts() {
  const { conversation } = usePage();
  const [chosen, setChosen] = useState('');
  const { book } = conversation;
  const species = chosen === '' ? null : Number(chosen);
  const sampled = [...book.plots()];
  return (
    <div class="screen">
      <h1>Charts</h1>
      <p class="choices">
        <SpeciesChoice value={chosen} onPick={setChosen} />
      </p>
      <Chart title="Height against diameter" drawn={heightsDrawing(book, species)} />
      <Chart title="Trees by diameter" drawn={diametersDrawing(book, species)} />
      {sampled.length > 0 && (
        <Chart title="Mean basal area as plots are added" drawn={runningDrawing(book)} />
      )}
      {sampled.some((plot) => book.entry(plot.id)?.position) && (
        <>
          <Chart title="Where the plots are" drawn={mapDrawing(book)} />
          <Ways />
        </>
      )}
    </div>
  );
}

/** From plot to plot in words and numbers: what the map shows, for a compass and for who cannot see it. */
function Ways() {
  const { conversation } = usePage();
  const { units } = conversation.settings;
  const laid = layOut(plotSpots(conversation.book), { width: 420, height: 360, margin: 44, units });
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

function Chart({ title, drawn }: { readonly title: string; readonly drawn: Drawn }) {
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
        {drawn.marks.map(markElement)}
      </svg>
    </figure>
  );
}
