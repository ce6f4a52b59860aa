/**
 * What lacks its unit and has it from before: a leg of a walk whose length is a bare number ("azimuth 135, 100"), which is told as
 * the leg before was. And how far a device scatters where that is a part of a foot.
 */
import type { NoteOf } from '../../shared/note/note.ts';
import { type Draft, everyPlace, type Scan } from './scan.ts';

type Bearing = NonNullable<NoteOf<'leg'>['bearing']>;

const sides = { n: 'north', s: 'south', e: 'east', w: 'west' } as const;
type Side = (typeof sides)[keyof typeof sides];
const sideOf = (text: string | undefined): Side | undefined =>
  Object.values(sides).find((side) => text === side) ??
  Object.entries(sides).find(([short]) => text === short)?.[1];
const around = /^(?:azimuth|az|bearing|compass|heading|due|then|and|next|leg|at|for|on|degrees?)$/;

/** "Azimuth 135, 100", "south 45 east 100": the last number is how far, in what the leg before was told. */
export function bareLegDraft(scan: Scan): Draft | undefined {
  const { pieces } = scan;
  if (scan.asked || scan.species.length > 0) return undefined;
  const plain = pieces.every(
    ({ is, text, light }) => is !== 'words' || light || around.test(text) || sideOf(text) !== undefined,
  );
  const last = scan.numbers.at(-1);
  if (!plain || last === undefined || last !== pieces.length - 1) return undefined;
  const { value, unit, sign } = scan.number(last);
  const bearing = bearingOf(scan, last);
  if (bearing === undefined || unit !== undefined || sign !== undefined || value <= 0) return undefined;
  return {
    notes: [{ kind: 'leg', bearing, distance: { by: 'length', length: { value } } }],
    used: everyPlace(scan),
    against: 0,
  };
}

function bearingOf(scan: Scan, last: number): Bearing | undefined {
  const [turn, ...more] = scan.numbers.filter((at) => at !== last);
  const named = scan.placesOf(({ text }) => sideOf(text) !== undefined);
  const words = scan.text();
  const [from, towards, ...others] = named.map((at) => sideOf(scan.pieces[at]!.text));
  if (turn === undefined)
    return /\bdue\b/.test(words) && from !== undefined && named.length === 1
      ? { by: 'due', towards: from }
      : undefined;
  const { value: degrees, unit, sign } = scan.number(turn);
  if (more.length > 0 || sign !== undefined || (unit !== undefined && unit !== 'deg')) return undefined;
  if (named.length === 0)
    return /\b(?:azimuth|az|bearing|compass|heading)\b/.test(words) && degrees <= 360
      ? { by: 'azimuth', degrees }
      : undefined;
  const turned =
    others.length === 0 &&
    (from === 'north' || from === 'south') &&
    (towards === 'east' || towards === 'west') &&
    named[0]! < turn &&
    turn < named[1]!;
  return turned && degrees <= 90 ? { by: 'quadrant', from, degrees, towards } : undefined;
}

const scattering =
  /^(?:the |my |our )?(laser|sonic|hypsometer|tape)(?: drop)?(?: readings?)? (?:scatters?|error|spread|is off|is out)(?: is| of| by)* (?:half an? (foot|metre|meter)|an? (foot|metre|meter)(?: and a half)?|(?:a )?(?:foot|metre|meter) and a half)$/;

/** "Laser scatter half a foot", "my laser scatters by half a metre". */
export function scatterDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  const [, device, half, whole] = scattering.exec(text) ?? [];
  if (scan.asked || device === undefined) return undefined;
  const unit = /\b(?:metre|meter)\b/.test(half ?? whole ?? text) ? 'm' : 'ft';
  const value = half !== undefined ? 0.5 : /and a half$/.test(text) ? 1.5 : 1;
  return {
    notes: [
      {
        kind: 'setting',
        set: {
          what: 'scatter',
          device: device === 'hypsometer' ? 'other' : (device as 'laser' | 'sonic' | 'tape'),
          length: { value, unit },
        },
      },
    ],
    used: everyPlace(scan),
    against: -0.1,
  };
}
