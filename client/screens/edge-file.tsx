/** Bringing in the edge of a stand from a file of polygons. What reads it is fetched when the file was chosen. */
import { useState } from 'preact/hooks';
import { pickFile } from '../conversation/takeaway.ts';
import { usePage } from './page.tsx';

export function EdgeFromFile() {
  const { conversation } = usePage();
  const [said, setSaid] = useState('');
  const bring = async () => {
    const file = await pickFile('.geojson,.json,application/geo+json,application/json');
    if (file === null) return;
    const { bringEdge } = await import('../conversation/edge-file.ts');
    setSaid(await bringEdge(conversation, file));
  };
  return (
    <div class="edgefile">
      <p class="buttons">
        <button type="button" onClick={bring}>
          Bring in an edge
        </button>
      </p>
      <p class="aside">
        A GeoJSON file with the polygon of the stand, or of the stratum in hand: longitude and latitude in WGS
        84. It stays on your devices.
      </p>
      <p class="answered" role="status">
        {said}
      </p>
    </div>
  );
}
