/** Walking an edge: the legs as they are said, said right, and closed; the area as it is taken. */
import type { OpenQuestion } from '../../book/book.ts';
import type { EdgeWalk, WalkLeg } from '../../book/land-records.ts';
import { lengthUnitOf } from '../../core/units.ts';
import { readBearing } from '../../land/bearing.ts';
import { readLeg } from '../../land/leg.ts';
import { closeTraverse, followLegs, misclosureOf } from '../../land/traverse.ts';
import type { Act, Question, SavedLeg } from '../../note/acts.ts';
import type { SaidNorth } from '../../note/land-words.ts';
import { sizes } from '../../note/limits.ts';
import type { Distance, Note, NoteOf } from '../../note/note.ts';
import { declinationWords, legWords } from '../../wording/ground.ts';
import * as wording from '../../wording/wording.ts';
import { replaced } from '../changed-values.ts';
import { asking, type Context, kept, type Outcome, refused, said } from '../outcome.ts';
import { missingQuestion } from '../waiting.ts';
import { edgeInHand, useEdge } from './bringing.ts';
import { areaQuestion, areaWords, closingOf, missWords, noSurvey } from './closing.ts';
import { legSettings, legsOf, openWalk, problemSentence, walkerOf, walkInHand } from './ground.ts';
import { placeNamed } from './place-named.ts';

type SaidNote = Pick<NoteOf<'leg'>, 'bearing' | 'north' | 'distance' | 'slope'>;

const caution =
  'Dead reckoning knows no ground: look out for cliffs, water and traffic, tell somebody where you walk, carry a map and a light.';

const northOf = (said: SaidNorth | undefined, usual: SavedLeg['north']): SavedLeg['north'] =>
  said === undefined ? usual : said === 'trueNorth' ? 'true' : 'magnetic';

export function startOutcome(context: Context, note: NoteOf<'traverse'>): Outcome {
  const { book, device, id, settings } = context;
  const place = placeNamed(context, note);
  if (typeof place === 'string') return refused(place);
  const { stand, stratum } = place;
  const open = openWalk(book, device);
  const before =
    open?.device === device && open.legs.length > 0
      ? ` The walk of ${open.legs.length} legs before it stays open.`
      : '';
  const name = stratum?.name ?? stand?.name;
  const north =
    settings.north === 'true'
      ? 'Bearings from true north.'
      : settings.declination === null
        ? 'Bearings by the needle; no declination was said.'
        : `Bearings by the needle, declination ${declinationWords(settings.declination)}.`;
  const first = !book.land.any;
  return kept(
    [{ act: 'traverse', id, stand: stand?.id ?? null, stratum: stratum?.id ?? null }],
    () =>
      `The walk round ${name === undefined ? 'the area' : wording.placeName(name)} begins here. ${north}${before}${first ? ` ${caution}` : ''}`,
  );
}

/** What a leg comes to, or what of it is missing. */
export function legOutcome(context: Context, note: NoteOf<'leg'>): Outcome {
  const { book, device, id } = context;
  const saved = savedOf(context, note);
  if ('text' in saved) return asking(saved);
  const own = openWalk(book, device);
  if (own && (own.legs.at(-1)?.number ?? 0) >= sizes.legs)
    return refused(`A walk holds ${sizes.legs} legs, and this one has them. Close it first.`);
  const begins: Act[] = own
    ? []
    : [
        {
          act: 'traverse',
          id,
          stand: book.standOf(device)?.id ?? null,
          stratum: book.stratumOf(device)?.id ?? null,
        },
      ];
  const number = (own?.legs.at(-1)?.number ?? 0) + 1;
  const leg = readLeg(saved, walkerOf(book, device), legSettings(book));
  if (!leg.ok && leg.error.kind === 'impossible') return refused(leg.error.sentence);
  const acts: Act[] = [...begins, { act: 'leg', id, walk: own?.id ?? id, number, leg: saved }];
  const lead = own ? '' : 'The walk begins here. ';
  const theirs = own && own.device !== device ? ' In the walk that the crew began.' : '';
  const text = (feet: number | null, units: 'feet' | 'metres'): string =>
    `${lead}Leg ${number}, ${legWords(saved)}${feet === null ? '' : lengthTail(saved.distance, feet, units)}.${theirs}`;
  if (leg.ok) return kept(acts, (_, now) => text(leg.value.feet, now.units));
  const waits = context.deviceState.questions.some(({ question }) => question.about === 'pace');
  if (waits) return kept(acts, (_, now) => text(null, now.units));
  const question = missingQuestion('pace', id);
  return asking(question, acts, { say: (_, now) => `${text(null, now.units)} ${question.text}` });
}

/** Level feet, where they were not said: ": 324 feet". */
const lengthTail = (distance: Distance, feet: number, units: 'feet' | 'metres'): string =>
  distance.by === 'length' && distance.length.unit === 'ft' && Math.abs(distance.length.value - feet) < 0.5
    ? ''
    : `: ${wording.length(feet, units, 1)}`;

/** The leg as the book keeps it, or the question for what of it is missing or cannot be. */
function savedOf(context: Context, note: SaidNote): SavedLeg | Question {
  const { settings } = context;
  const { bearing, slope } = note;
  const distance = note.distance && asBefore(context, note.distance);
  const pending: Note = { kind: 'leg', ...pick(note) };
  const ask = (text: string): Question => ({ about: 'bearing', text, options: [], pending });
  if (bearing === undefined) return ask('Which bearing?');
  const azimuth = readBearing(bearing);
  if (!azimuth.ok)
    return ask(`${azimuth.error}${distance ? ` The ${distanceKept(distance)} are kept until then.` : ''}`);
  if (distance === undefined) return ask(`${wording.sentence(legLead(bearing))}. How far?`);
  return {
    bearing,
    north: northOf(note.north, settings.north),
    distance:
      distance.by === 'length'
        ? {
            ...distance,
            length: { ...distance.length, unit: distance.length.unit ?? lengthUnitOf(settings.units) },
          }
        : distance,
    ...(slope === undefined ? {} : { slope: { ...slope, unit: slope.unit ?? 'pct' } }),
  };
}

/** A length without its unit is told as the leg before was: in its unit, or in paces. */
function asBefore({ book, device }: Context, distance: Distance): Distance {
  if (distance.by !== 'length' || distance.length.unit !== undefined) return distance;
  const before = openWalk(book, device)?.legs.at(-1)?.said.distance;
  if (before === undefined) return distance;
  const { value } = distance.length;
  if (before.by !== 'length') return { by: before.by, count: value };
  const { unit } = before.length;
  return { ...distance, length: { value, ...(unit === undefined ? {} : { unit }) } };
}

const pick = ({ bearing, north, distance, slope }: SaidNote): SaidNote => ({
  ...(bearing ? { bearing } : {}),
  ...(north ? { north } : {}),
  ...(distance ? { distance } : {}),
  ...(slope ? { slope } : {}),
});

const legLead = (bearing: SavedLeg['bearing']): string =>
  legWords({ bearing, north: 'true', distance: { by: 'paces', count: 1 } }).replace(/, 1 pace$/, '');
const distanceKept = (distance: Distance): string =>
  distance.by === 'length' ? 'length' : `${wording.digits(distance.count, 1)} ${distance.by}`;

/** The stand or stratum that a walk is of, else the one in hand. */
function targetOf({ book, device }: Context, walk: EdgeWalk) {
  const stratum = book.strata.get(walk.stratum ?? '');
  if (stratum) return { of: 'stratum' as const, ...stratum };
  const stand = book.stands.get(walk.stand ?? '') ?? book.standOf(device);
  return stand ? { of: 'stand' as const, ...stand } : null;
}

export function closeOutcome(context: Context, atStart: () => Outcome): Outcome {
  const { book, device, settings, tongue } = context;
  const walk = openWalk(book, device);
  if (!walk) return atStart();
  if (walk.legs.length < 3) {
    const made = closeTraverse([]);
    const legs = walk.legs.length === 1 ? 'there is 1 leg' : `there are ${walk.legs.length || 'no'} legs`;
    return refused(made.ok ? '' : `An area needs at least three legs round it; ${legs}. The walk goes on.`);
  }
  const { text, asks, closed } = closingOf(book, walk, settings, tongue);
  const first = [...book.land.walks.values()].every((one) => !one.closed);
  const question = asks ?? (closed && areaQuestion(targetOf(context, walk), closed.area, settings.units));
  const acts: Act[] = [{ act: 'walkEnd', walk: walk.id }];
  const tail = first && closed && asks === null ? ` ${noSurvey}` : '';
  const untold =
    closed && asks === null && question === null
      ? ' No stand is in hand: say its name, then use that area.'
      : '';
  const say = asks
    ? `Closed, but look. ${text}`
    : `Closed. ${text}${tail}${untold}${question ? ` ${question.text}` : ''}`;
  return question ? asking(question, acts, { say: () => say }) : kept(acts, () => say);
}

/** "Use that area", and "yes" to the question. */
export function useOutcome(context: Context, note: NoteOf<'traverse'>): Outcome {
  const { book, device, settings, tongue } = context;
  const edge = edgeInHand(book, device);
  if (edge) return useEdge(context, note, edge);
  const walk = walkInHand(book, device);
  if (!walk) return refused('No area was walked yet. Say start a traverse, then each leg.');
  if (!walk.closed) return refused('The walk is still open. Say back at the start when you are there.');
  const { closed, text } = closingOf(book, walk, settings, tongue);
  if (!closed || closed.crossings.length > 0) return refused(text);
  const named = note.stand !== undefined || note.stratum !== undefined;
  const place = named ? placeNamed(context, note) : null;
  if (typeof place === 'string') return refused(place);
  const target = place
    ? place.stratum
      ? { of: 'stratum' as const, ...place.stratum }
      : place.stand && { of: 'stand' as const, ...place.stand }
    : targetOf(context, walk);
  if (!target) return refused('No stand is in hand. Say its name first, such as new stand mill lot.');
  const { acres, sdAcres, paceSdAcres } = closed.area;
  const { of, id } = target;
  const act: Act = { act: 'area', of, target: id, acres, sdAcres, paceSdAcres, walk: walk.id };
  const unsure = closed.misclosure.explained ? '' : ' The walk closes worse than paces and bearings explain.';
  return kept(
    [act],
    (_, now) =>
      `${wording.placeName(target.name)}: ${areaWords(acres, sdAcres, now.units)}, from the walk. Totals count that error in.${unsure}`,
  );
}

/** Acts with the closing told anew where the walk was closed. */
function withClosing(
  context: Context,
  walk: EdgeWalk,
  number: number,
  leg: SavedLeg,
  acts: readonly Act[],
): Outcome {
  const { settings, tongue } = context;
  const { device } = context;
  const lead = `Leg ${number} is ${legWords(leg)} now.`;
  if (!walk.closed) return kept(acts, () => lead);
  const legs = walk.legs.map((one) => (one.number === number ? { ...one, said: leg } : one));
  const mended = legs.some((one) => one.number === number)
    ? legs
    : [
        ...legs,
        { id: context.id, entry: context.id, number, device, point: context.book.settings.length, said: leg },
      ].sort((a, b) => a.number - b.number);
  const after = { ...walk, legs: mended };
  const { text, asks, closed } = closingOf(context.book, after, settings, tongue);
  const question = asks ?? (closed && areaQuestion(targetOf(context, walk), closed.area, settings.units));
  const say = `${lead} ${text}${question && !asks ? ` ${question.text}` : ''}`;
  return question ? asking(question, acts, { say: () => say }) : kept(acts, () => say);
}

/** A leg said right: by its number, or the last one where only its bearing or distance was said. */
export function changeLeg(context: Context, note: NoteOf<'change'>): Outcome {
  const { book, device, id } = context;
  const walk = walkInHand(book, device);
  if (!walk) return refused('No walk is under way, so there is no leg to change.');
  const number = note.leg ?? walk.legs.at(-1)?.number;
  if (number === undefined) return refused('The walk has no leg yet.');
  const leg = walk.legs.find((one) => one.number === number);
  if (!leg) {
    const saved = note.bearing && note.distance ? savedOf(context, note) : null;
    if (saved === null || 'text' in saved)
      return refused(
        book.land.takenBackLeg(walk.id, number) === null
          ? `There is no leg ${number}. The walk has ${walk.legs.length}.`
          : `Leg ${number} was scratched. Say restore leg ${number}, or its bearing and distance anew.`,
      );
    return withClosing(context, walk, number, saved, [{ act: 'leg', id, walk: walk.id, number, leg: saved }]);
  }
  const changed = changedLeg(context, leg, note);
  if (typeof changed === 'string') return refused(changed);
  if ('text' in changed) return refused(changed.text);
  const read = readLeg(changed, walkerOf(book, leg.device, leg.point), legSettings(book));
  if (!read.ok && read.error.kind === 'impossible') return refused(read.error.sentence);
  return withClosing(context, walk, number, changed, [{ act: 'legAmend', target: leg.id, leg: changed }]);
}

function changedLeg(
  context: Context,
  { said: leg }: WalkLeg,
  note: NoteOf<'change'>,
): SavedLeg | Question | string {
  const bare = note.number;
  if (bare) {
    if (bare.unit === 'deg')
      return savedOf(context, {
        ...leg,
        bearing: { by: 'azimuth', degrees: bare.value },
        north: saidNorth(leg),
      });
    if (bare.unit !== undefined && bare.unit !== 'pct' && bare.unit !== 'topo')
      return { ...leg, distance: { by: 'length', length: { value: bare.value, unit: bare.unit } } };
    if (note.was !== undefined)
      return replaced(leg, note.was, bare.value) ?? 'That number is not in the leg.';
    return `The bearing or the distance of it? Say bearing ${wording.digits(bare.value, 1)}, or ${wording.digits(bare.value, 1)} paces.`;
  }
  const turned = note.reverse ? reversed(note.bearing ?? leg.bearing) : (note.bearing ?? leg.bearing);
  return savedOf(context, {
    bearing: turned,
    north: note.bearing ? note.north : saidNorth(leg),
    distance: note.distance ?? leg.distance,
    ...((note.slope ?? leg.slope) ? { slope: note.slope ?? leg.slope } : {}),
  });
}

const saidNorth = ({ north }: SavedLeg): SaidNorth => (north === 'true' ? 'trueNorth' : 'magneticNorth');

const opposite = { north: 'south', south: 'north', east: 'west', west: 'east' } as const;

/** The same line the other way, said in the same form. */
function reversed(bearing: SavedLeg['bearing']): SavedLeg['bearing'] {
  if (bearing.by === 'azimuth') return { ...bearing, degrees: (bearing.degrees + 180) % 360 };
  if (bearing.by === 'due') return { ...bearing, towards: opposite[bearing.towards] };
  return { ...bearing, from: opposite[bearing.from], towards: opposite[bearing.towards] };
}

/** The slope of the last leg, said after it. */
export function slopeOfLast(context: Context, note: NoteOf<'plot'>): Outcome | null {
  const { book, device, deviceState } = context;
  const walk = openWalk(book, device);
  if (!walk || walk.device !== device || deviceState.plot !== null || !note.slope) return null;
  const leg = walk.legs.at(-1);
  return leg ? changeLeg(context, { kind: 'change', leg: leg.number, slope: note.slope }) : null;
}

/** What was missing of a leg is said, or the closing is answered. */
export function answerWalk(context: Context, open: OpenQuestion, note: Note): Outcome | null {
  const { question } = open;
  const settle = (outcome: Outcome): Outcome =>
    outcome.state === 'refused' ? outcome : { ...outcome, settles: open.entry };
  const yes = note.kind === 'answer' && (note.answer === 'yes' || note.answer === 'keep');
  const no = note.kind === 'answer' && note.answer === 'no';
  switch (question.about) {
    case 'area':
      if (no) return settle(kept([], () => 'Then the area stays as it was.'));
      return yes
        ? settle({
            ...useOutcome(context, { kind: 'traverse', op: 'use' }),
            means: { kind: 'traverse', op: 'use' },
          })
        : null;
    case 'walked': {
      const [option] = question.options;
      if (no) return settle(kept([], () => 'Then say which leg was otherwise, or keep it.'));
      if (note.kind === 'answer' && note.answer === 'keep') return settle(keepClosing(context));
      return yes && option?.note.kind === 'change'
        ? settle({ ...changeLeg(context, option.note), means: option.note })
        : null;
    }
    case 'bearing': {
      if (question.pending?.kind !== 'leg') return null;
      const whole = completedLeg(question.pending, note);
      return whole && settle({ ...legOutcome(context, whole), means: whole });
    }
    default:
      return null;
  }
}

/** The closing is as it is: its area may still be taken. */
function keepClosing(context: Context): Outcome {
  const { book, device, settings, tongue } = context;
  const walk = walkInHand(book, device);
  const closed = walk && closingOf(book, walk, settings, tongue).closed;
  if (!walk || !closed || closed.crossings.length > 0) return kept([], () => 'Kept as it is.');
  const question = areaQuestion(targetOf(context, walk), closed.area, settings.units);
  const area = `${wording.sentence(areaWords(closed.area.acres, closed.area.sdAcres, settings.units))}.`;
  return question
    ? asking(question, [], { say: () => `Kept as it is. ${area} ${question.text}` })
    : kept([], () => `Kept as it is. ${area}`);
}

/** The leg that waited, with the bearing or the distance that was said to it. */
function completedLeg(pending: NoteOf<'leg'>, note: Note): NoteOf<'leg'> | null {
  const wantsBearing = !pending.bearing || !readBearing(pending.bearing).ok;
  if (note.kind === 'leg') return wantsBearing || note.distance ? { ...pending, ...note } : null;
  if (note.kind === 'change' && (note.leg !== undefined || note.facts)) return null;
  return wantsBearing ? withBearing(pending, note) : withDistance(pending, note);
}

function withBearing(pending: NoteOf<'leg'>, note: Note): NoteOf<'leg'> | null {
  if (note.kind === 'change' && note.bearing)
    return { ...pending, bearing: note.bearing, ...(note.north ? { north: note.north } : {}) };
  const degrees =
    note.kind === 'number' ? note.value : note.kind === 'change' ? note.number?.value : undefined;
  return degrees === undefined || degrees < 0 ? null : { ...pending, bearing: { by: 'azimuth', degrees } };
}

function withDistance(pending: NoteOf<'leg'>, note: Note): NoteOf<'leg'> | null {
  if (note.kind === 'change' && note.distance) return { ...pending, distance: note.distance };
  if (note.kind === 'height' && note.height.method === 'stick' && !note.height.eye)
    return { ...pending, distance: note.height.distance };
  if (note.kind !== 'number' || !(note.value > 0)) return null;
  const { value, unit } = note;
  if (unit === undefined) return { ...pending, distance: { by: 'paces', count: value } };
  if (unit === 'deg' || unit === 'pct' || unit === 'topo') return null;
  return { ...pending, distance: { by: 'length', length: { value, unit } } };
}

/** "What is the closure", "area so far", "read the legs". */
export function walkAnswer(context: Context, about: 'closure' | 'edgeArea' | 'legs'): Outcome {
  const { book, device, settings, tongue } = context;
  const { units } = settings;
  const walk = walkInHand(book, device);
  const stand = book.stratumOf(device) ?? book.standOf(device);
  if (!walk) {
    if (about === 'edgeArea' && stand?.acres != null)
      return said(
        `${wording.placeName(stand.name)}: ${areaWords(stand.acres, stand.sdAcres ?? null, units)}.`,
      );
    return refused('No edge was walked yet. Say start a traverse, then each leg.');
  }
  if (about === 'legs')
    return said(
      walk.legs.length === 0
        ? 'No leg yet.'
        : `${walk.legs.map((leg) => `Leg ${leg.number}, ${legWords(leg.said)}`).join('. ')}.`,
    );
  if (walk.closed) {
    const { text } = closingOf(book, walk, settings, tongue);
    return said(text);
  }
  const legs = legsOf(book, walk);
  if (!legs.ok) return said(problemSentence(legs.error));
  if (about === 'closure') {
    const { lengthFt } = followLegs(legs.value);
    const count = walk.legs.length === 1 ? '1 leg' : `${walk.legs.length} legs`;
    return said(
      `Still open: the end of ${count} is ${missWords(misclosureOf(legs.value), settings).replace(/, 1 in .*$/, '')} from the start, after ${wording.length(lengthFt, units, 1)}.`,
    );
  }
  const closed = closeTraverse(legs.value);
  return said(
    closed.ok
      ? `About ${wording.area(Number(closed.value.acresBefore.toPrecision(2)), units)}, if you went straight back to the start now.`
      : closed.error,
  );
}
