/** How a walk closes, in words: misclosure, area, the slip that explains most, and the question that follows. */
import type { Book } from '../../book/book.ts';
import type { EdgeWalk } from '../../book/land-records.ts';
import type { Settings } from '../../book/settings.ts';
import type { Units } from '../../core/units.ts';
import { azimuthOf } from '../../land/bearing.ts';
import { type LegSlipCause, legSlipSentence, otherDeclination, weighLegs } from '../../land/leg-slips.ts';
import {
  bothDeclinations,
  type ClosedTraverse,
  closeTraverse,
  type Misclosure,
} from '../../land/traverse.ts';
import type { Question } from '../../note/acts.ts';
import type { Note, NoteOf } from '../../note/note.ts';
import { declinationWords } from '../../wording/ground.ts';
import * as wording from '../../wording/wording.ts';
import type { Tongue } from '../types.ts';
import { legSettings, legsOf, problemSentence } from './ground.ts';

/** An area that a tenth of what was said, and two standard deviations, do not explain is asked about. */
const farPart = 0.1;
/** A slip is named where it closes the walk within what is expected, and is likelier than all else together. */
const tellingSlip = 0.2;

interface Closing {
  readonly text: string;
  readonly asks: Question | null;
  readonly closed: ClosedTraverse | null;
}

/** Said once in a book, with the first area, and in the report. */
export const noSurvey =
  'An area by compass and paces is no legal survey: a licensed surveyor decides on boundaries.';

export const areaWords = (acres: number, sdAcres: number | null, units: Units): string =>
  sdAcres === null
    ? wording.area(acres, units)
    : `${roundedArea(acres, sdAcres, units)}, give or take ${roundedArea(sdAcres, sdAcres, units, true)}`;

/** As many decimals as the error deserves: "12.4 acres", "0.6". */
function roundedArea(acres: number, sdAcres: number, units: Units, bare = false): string {
  const [value, sd] =
    units === 'metres' ? [acres * 0.40468564224, sdAcres * 0.40468564224] : [acres, sdAcres];
  const said = wording.digits(value, sd >= 1 ? 0 : sd >= 0.095 ? 1 : 2);
  if (bare) return said === '0' ? '0.01' : said;
  const one = said === '1';
  return `${said} ${units === 'metres' ? (one ? 'hectare' : 'hectares') : one ? 'acre' : 'acres'}`;
}

/** Whole degrees of a true azimuth from the north that the person's bearings are from. */
export function shownAzimuth(azimuth: number, { north, declination }: Settings): number {
  return Math.round(azimuthOf(north === 'magnetic' ? azimuth - (declination ?? 0) : azimuth)) % 360;
}

/** "14 feet at bearing 212, 1 in 140". */
export function missWords({ feet, azimuth, oneIn }: Misclosure, settings: Settings): string {
  if (oneIn === null) return 'nothing';
  const ratio = oneIn < 20 ? wording.digits(oneIn, 1) : wording.thousands(Number(oneIn.toPrecision(2)));
  return `${wording.length(feet, settings.units, 1)} at bearing ${shownAzimuth(azimuth, settings)}, 1 in ${ratio}`;
}

/** What the walk comes to when it is closed, or said otherwise after it was. */
export function closingOf(book: Book, walk: EdgeWalk, settings: Settings, tongue: Tongue): Closing {
  const { units } = settings;
  const read = legsOf(book, walk);
  if (!read.ok) return { text: problemSentence(read.error), asks: null, closed: null };
  const made = closeTraverse(read.value);
  if (!made.ok) return { text: made.error, asks: null, closed: null };
  const closed = made.value;
  const { misclosure, crossings, area } = closed;
  const misses = `It misses by ${missWords(misclosure, settings)}, round ${wording.length(closed.perimeterFt, units, 1)}.`;
  const crossing = crossings[0];
  if (crossing !== undefined && misclosure.explained) {
    const [a, b] = crossing.map((leg) => walk.legs[leg - 1]?.number);
    return askWalked(
      `${misses} Legs ${a} and ${b} cross, so there is no area in it. Which leg was said wrong?`,
      [],
      closed,
    );
  }
  if (!misclosure.explained) return unexplained(book, walk, { misses, closed, units }, tongue);
  return {
    text: `${misses} ${wording.sentence(areaWords(area.acres, area.sdAcres, units))}.`,
    asks: null,
    closed,
  };
}

interface Missing {
  readonly misses: string;
  readonly closed: ClosedTraverse;
  readonly units: Units;
}

function unexplained(
  book: Book,
  walk: EdgeWalk,
  { misses, closed, units }: Missing,
  tongue: Tongue,
): Closing {
  const expected = wording.length(closed.misclosure.expectedFt, units, 1);
  const legs = closed.rows.map(({ leg }) => leg);
  const settings = legSettings(book);
  const others = [...new Map(legs.map(({ walker }) => [walker.name, walker])).values()];
  const [first] = weighLegs(legs, settings, others).causes;
  const named = first !== undefined && first.posterior >= tellingSlip && first.misclosure.explained;
  const numbered = named
    ? { ...first, leg: first.leg && (walk.legs[first.leg - 1]?.number ?? first.leg) }
    : null;
  const note = numbered && noteOf(numbered, settings.declination);
  const declination = declinationWordsOf(book, legs, units);
  const why = `${misses} Paces and bearings explain about ${expected}.${declination}`;
  if (numbered === null || note === null)
    return askWalked(`${why} Which leg is to be walked again?`, [], closed);
  const slip = numbered.leg === null && declination !== '' ? '' : ` ${legSlipSentence(numbered, units)}`;
  return askWalked(
    `${why}${slip} ${numbered.leg === null ? 'Is it that?' : 'Was it that, or is a leg to be walked again?'}`,
    [{ say: tongue.speak(note), note }],
    closed,
  );
}

/** Both closures, where the sign of the declination can be told from them and the other one closes better. */
function declinationWordsOf(book: Book, legs: ClosedTraverse['rows'][number]['leg'][], units: Units): string {
  const settings = legSettings(book);
  const turned = otherDeclination(legs, settings);
  if (turned === null || settings.declination === null) return '';
  const { asSaid, otherSign } = bothDeclinations(legs, turned);
  if (otherSign.feet >= asSaid.feet) return '';
  const length = (feet: number): string => wording.length(feet, units, 1);
  return ` With the declination ${declinationWords(settings.declination)} it misses by ${length(asSaid.feet)}, with ${declinationWords(-settings.declination)} by ${length(otherSign.feet)}.`;
}

/** What would be said to put the slip right. */
function noteOf({ slip, leg, meant }: LegSlipCause, declination: number | null): Note | null {
  if (leg === null)
    return declination === null
      ? null
      : { kind: 'setting', set: { what: 'declination', value: -declination } };
  if (slip === 'bearingReversed') return { kind: 'change', leg, reverse: true };
  const { bearing, distance } = meant;
  return { kind: 'change', leg, bearing, distance } as NoteOf<'change'>;
}

const askWalked = (text: string, options: Question['options'], closed: ClosedTraverse): Closing => ({
  text,
  asks: { about: 'walked', text, options, pending: { kind: 'traverse', op: 'close' } },
  closed,
});

/** The question whether the area is that of the stand or stratum; null where neither is in hand. */
export function areaQuestion(
  target: { readonly of: 'stand' | 'stratum'; readonly name: string; readonly acres: number | null } | null,
  { acres, sdAcres }: Pick<ClosedTraverse['area'], 'acres' | 'sdAcres'>,
  units: Units,
): Question | null {
  if (target === null) return null;
  const area = roundedArea(acres, sdAcres, units);
  const before = target.acres;
  const far =
    before !== null && Math.abs(before - acres) > Math.max(2 * sdAcres, farPart * Math.max(before, acres));
  const text =
    far && before !== null
      ? `${wording.sentence(wording.area(before, units))} ${before === 1 ? 'was' : 'were'} said before, far from it. Take ${area} as the ${target.of}'s area?`
      : `Take ${area} as the ${target.of}'s area?`;
  return {
    about: 'area',
    text,
    options: [{ say: 'use that area', note: { kind: 'traverse', op: 'use' } }],
  };
}
