/**
 * An edge that comes from a file instead of a walk: polygons with holes and of wrong order, several parts, other orders of
 * coordinates, what is no polygon; a sentence each, and nothing is lost. Areas by geographiclib-geodesic (Karney 2013).
 */
import geodesic from 'geographiclib-geodesic';
import { describe, expect, it } from 'vitest';
import { mostEdgeBytes, readEdgeFile } from '../../shared/land/edge-file.ts';
import { deviceId, entrySchema } from '../../shared/note/journal.ts';
import { groundDrawing } from '../../shared/report/charts/ground.ts';
import { type Conversation, converse } from '../support/conversation.ts';

type Ring = [longitude: number, latitude: number][];
/** Some 400 by 300 metres in the made-up Mill Lot. */
const square: Ring = [
  [-71.29, 44.05],
  [-71.285, 44.05],
  [-71.285, 44.053],
  [-71.29, 44.053],
  [-71.29, 44.05],
];
const hole: Ring = [
  [-71.288, 44.051],
  [-71.288, 44.052],
  [-71.287, 44.052],
  [-71.287, 44.051],
  [-71.288, 44.051],
];
const apart: Ring = square.map(([longitude, latitude]) => [longitude + 0.01, latitude]);

const acresOf = (ring: Ring): number => {
  const polygon = geodesic.Geodesic.WGS84.Polygon(false);
  for (const [longitude, latitude] of ring.slice(0, -1)) polygon.AddPoint(latitude, longitude);
  return Math.abs(polygon.Compute(false, true).area!) / 4046.8564224;
};

const polygon = (...rings: Ring[]) => ({ type: 'Polygon', coordinates: rings });

/** What the tool answers to a file: the sentence that refuses it, or what was put right and the reply. */
async function brought(
  one: Conversation,
  file: unknown,
): Promise<{ reply: string; notes: readonly string[] }> {
  const read = readEdgeFile(typeof file === 'string' ? file : JSON.stringify(file));
  if (!read.ok) return { reply: `refused: ${read.error}`, notes: [] };
  const words = 'edge from mill-lot.geojson';
  const candidates = [{ notes: [{ kind: 'traverse', op: 'bring' }], words, posterior: 1 } as const];
  const told = await one.session.tell({ words, candidates, edge: read.value.parts });
  return { reply: told.answer.reply, notes: read.value.notes };
}

const standOf = ({ session }: Conversation) => [...session.book.stands.values()][0];

describe('an edge from a file', () => {
  it('is told with its area, which is taken only after a yes', async () => {
    const one = await converse();
    await one.say('new stand mill lot');
    const { reply } = await brought(one, polygon(square));
    expect(reply).toMatch(
      /^The edge of Mill Lot, 4 corners: 33 acres\. How well it was drawn is not known, so totals take its area as exact\. .*no legal survey.* Take 33.* acres as the stand's area\?$/,
    );
    expect(standOf(one)?.acres).toBeNull();
    expect(await one.say('yes')).toBe('Mill Lot: 33 acres, from the edge that was brought in.');
    expect(standOf(one)!.acres! / acresOf(square)).toBeCloseTo(1, 4);
    await one.say('undo');
    expect(standOf(one)?.acres).toBeNull();
  });

  it('has plots laid out in it, and leads from its corners', async () => {
    const one = await converse();
    await one.say('my pace is five feet', 'new stand mill lot');
    await brought(one, polygon(square, hole));
    await one.say('yes');
    expect(await one.say('lay out twelve plots')).toMatch(/^12 plots on a square grid/);
    expect(await one.say('at the start')).toMatch(/^At the start\./);
    expect(await one.say('way to the next plot')).toMatch(
      /^Bearing \d+, \d+ feet: \d+ paces; \d+ uphill\. Plot 1\./,
    );
    const drawn = groundDrawing(one.session.book, deviceId('device-1'));
    expect(typeof drawn !== 'string' && drawn.says).toMatch(
      /^The edge as it was brought in; 0 of 12 planned/,
    );
    // Two rings are drawn: the edge and its hole.
    expect(JSON.stringify(drawn).match(/Z/g)).toHaveLength(2);
  });

  it('holes are left out, parts are added up, rings of wrong order are turned; each is told', async () => {
    const one = await converse();
    await one.say('new stand mill lot');
    const holed = await brought(one, polygon(square, hole));
    expect(holed.notes.join(' ')).toContain('The polygon has 1 hole, left out of the area.');
    await one.say('yes');
    expect(standOf(one)!.acres!).toBeCloseTo(acresOf(square) - acresOf(hole), 2);
    const turned = await brought(one, polygon([...square].reverse()));
    expect(turned.notes).toEqual(['The edge of the polygon ran the other way round; it was turned.']);
    const two = await brought(one, { type: 'MultiPolygon', coordinates: [[square], [apart]] });
    expect(two.reply).toMatch(/8 corners: 66 acres/);
    expect(two.reply).toContain('were said before, far from it');
    const open = await brought(one, polygon(square.slice(0, -1)));
    expect(open.notes).toEqual(['The edge of the polygon did not end where it began; it was closed.']);
  });

  it('belongs to the stratum in hand', async () => {
    const one = await converse();
    await one.say('new stand mill lot', 'stratum ridge');
    expect((await brought(one, polygon(square))).reply).toContain("as the stratum's area?");
    await one.say('yes', 'stratum bottom');
    await brought(one, polygon(apart));
    await one.say('yes');
    expect(await one.say('lay out twelve plots over the strata')).toMatch(
      /^12 plots over 2 strata by area.*Ridge 6, numbers 1 to 6.*Bottom 6, numbers 7 to 12/,
    );
    // Both lie on the earth, so the way leads from one into the other: some 800 metres east.
    await one.say('my pace is five feet', 'i am at plot three');
    expect(await one.say('way to plot nine')).toMatch(/^Bearing \d+, [23]\d\d\d feet/);
  });

  const refusals: readonly (readonly [what: string, file: unknown, sentence: RegExp])[] = [
    [
      'no JSON',
      'PK\u0003\u0004',
      /^refused: Expected GeoJSON, a text of JSON with a polygon; this is none\.$/,
    ],
    ['a line', { type: 'LineString', coordinates: square }, /Expected a GeoJSON polygon; found none/],
    ['a point', { type: 'Point', coordinates: square[0] }, /Points and lines alone have no inside/],
    ['another thing', { hello: 1 }, /Expected GeoJSON with a polygon; found something else/],
    ['an empty list', { type: 'FeatureCollection', features: [] }, /found none/],
    ['a bow tie', polygon([square[0]!, square[2]!, square[1]!, square[3]!, square[0]!]), /crosses itself/],
    [
      'two corners',
      polygon(square.slice(0, 2)),
      /at least three corners in the edge of the polygon; found 2/,
    ],
    ['a hole that reaches out', polygon(square, apart), /Hole 1 of the polygon reaches over its edge/],
    [
      'parts that overlap',
      { type: 'MultiPolygon', coordinates: [[square], [square]] },
      /Polygons 1 and 2 overlap/,
    ],
    [
      'latitude first, in the east of America',
      polygon(square.map(([longitude, latitude]): [number, number] => [latitude, longitude])),
      /no tree grows at latitude -71\.29\. The two may be the wrong way round\./,
    ],
    [
      'latitude first, in the west',
      polygon(square.map(([, latitude], i): [number, number] => [latitude, -120 - i / 1000])),
      /The two may be the wrong way round/,
    ],
    [
      'metres of a map grid',
      polygon([
        [320_000, 4_880_000],
        [321_000, 4_880_000],
        [321_000, 4_881_000],
      ]),
      /These may be metres or feet of a map grid/,
    ],
    [
      'another reference, as in files of 2008',
      { ...polygon(square), crs: { type: 'name', properties: { name: 'urn:ogc:def:crs:EPSG::26919' } } },
      /Expected degrees of WGS 84; the file names another reference, urn:ogc:def:crs:EPSG::26919/,
    ],
    ['text for numbers', polygon([['a', 'b']] as never), /positions of two numbers, longitude first/],
    [
      'too many corners',
      polygon(
        Array.from({ length: 6000 }, (_, i): [number, number] => {
          const turn = (2 * Math.PI * i) / 6000;
          return [-71.29 + 0.004 * Math.cos(turn), 44.05 + 0.003 * Math.sin(turn)];
        }),
      ),
      /Expected at most 5000 corners in a ring; found 6000/,
    ],
    ['a huge file', ' '.repeat(mostEdgeBytes + 1), /Expected a file of at most 16 megabytes/],
  ];
  it.each(refusals)('%s is refused with a sentence, and nothing is lost', async (_, file, sentence) => {
    const one = await converse();
    await one.say('stand mill lot, twelve acres');
    expect((await brought(one, file)).reply).toMatch(sentence);
    expect(one.session.book.land.edges).toEqual([]);
    expect(standOf(one)?.acres).toBe(12);
  });

  it('far from where the notes were said is told, as degrees may be the wrong way round', async () => {
    const one = await converse();
    const words = 'start a traverse';
    const candidates = [{ notes: [{ kind: 'traverse', op: 'start' }], words, posterior: 1 } as const];
    const position = { latitude: 50, longitude: 10, accuracyMetres: 5 };
    await one.session.tell({ words, candidates, position });
    const swapped: Ring = [
      [50, 10],
      [50.004, 10],
      [50.004, 10.003],
      [50, 10],
    ];
    expect((await brought(one, polygon(swapped))).reply).toMatch(
      /It lies [\d,]+ miles from where notes of this book were said: undo it if/,
    );
  });

  it('said without a file, tells how to choose one', async () => {
    const one = await converse();
    expect(await one.say('bring in an edge')).toMatch(
      /^Choose the file: Charts has a button to bring in an edge/,
    );
  });

  it('the limits of an edge are those of the schema of entries', async () => {
    const one = await converse();
    await one.say('new stand mill lot');
    await brought(one, polygon(square));
    const entry = [...one.session.book.entries].at(-1)!;
    expect(entrySchema.safeParse(entry).success).toBe(true);
    const ring = (n: number) => Array.from({ length: n }, (_, i) => [i / 1000, 0]);
    const withParts = (parts: unknown) => ({ ...entry, acts: [{ ...entry.acts[0], parts }] });
    expect(entrySchema.safeParse(withParts([[ring(5001)]])).success).toBe(false);
    expect(entrySchema.safeParse(withParts(Array.from({ length: 3 }, () => [ring(4500)]))).success).toBe(
      false,
    );
    expect(
      entrySchema.safeParse(
        withParts([
          [
            [
              [200, 0],
              [0, 0],
              [1, 1],
            ],
          ],
        ]),
      ).success,
    ).toBe(false);
    expect(
      entrySchema.safeParse(
        withParts([
          [
            [
              [Number.NaN, 0],
              [0, 0],
              [1, 1],
            ],
          ],
        ]),
      ).success,
    ).toBe(false);
  });
});
