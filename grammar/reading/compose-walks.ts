/**
 * A known length that is walked to find the pace, as it is told while it is done: "let's do my pace first, fifty metre tape",
 * then "sixty four steps", then "and back again sixty six". And the stick that is cut to the reach.
 */
import type { Note } from '../../shared/note/note.ts';
import type { Quantity } from './said-numbers.ts';
import { shapeOf } from './said-shape.ts';
import { type Draft, everyPlace, plainLength, type Scan, type Several } from './scan.ts';

type WalkSaid = Extract<Extract<Note, { kind: 'setting' }>['set'], { what: 'walk' }>;

const back =
  '(?:(?:coming|going|walking|heading|walked|came|went|paced|counted|all the way|on the way|the way|on my way|the walk|the trip) )?back(?: again| the other way| to the start| to where i started| down| up| along it| here)*';
const otherWay =
  '(?:(?:the|it|walking|going|from|walked|in|and) )*(?:other|opposite|reverse) (?:way|direction|end)(?: round| around| again)?';
const nth =
  '(?:the |my |a |and )*(?:(?:second|third|fourth|next|2nd|3rd|4th|repeat) (?:walk|run|trip|lap|leg|length)|return(?: (?:walk|run|trip|leg|way|journey))?)(?: (?:over|down|along|on) (?:it|the tape|the line))?';
const way = `(?:${back}|${otherWay}|${nth})`;
const comes =
  '(?:(?:i|we|it|that|that time|this time|now|he|she|(?:the |my )?count)(?: (?:is|was|am))? ?)?(?:got|get|had|have|made|make|makes|counted|count|came|comes|took|takes|was|is|gave|gives|needed|used|walked|paced|did|goes|went)?(?: (?:it|that|to|out|at|me|up|us|only|about|in|down|along|over))*';
const lead = '(?:(?:and|so|ok|okay|then|well|right|now|but|yes|yeah|oh|check|checking|just)(?: ,)? |, )*';
const tail =
  '(?:,? ?(?:this time|that time|now|today|again|for that|for it|for the same|of them|on the same tape|over the same tape|over the same))*';
const walkedBack = new RegExp(
  `^${lead}(?:${way}(?: ?[,:])? ?${comes} ?N|${comes} ?N(?: ?,)? ?(?:steps |paces |on |for )?(?:the )?${way})${tail}$`,
);

/** "Thirty nine there and forty one back". */
const thereAndBack = new RegExp(
  `^${lead}${comes} ?N(?: (?:steps|paces))? (?:going )?(?:there|out|one way|on the way out|going out|up|down)(?: ?,)? (?:and )?${comes} ?N (?:${back}|${otherWay}|coming home|home|up|down)${tail}$`,
);

const ofSame = /\b(?:for|over|in|on) (?:it|the same)(?: N| tape| length| distance| stretch)?$/;

/** A count of steps or paces. */
const isCount = ({ value, unit, sign, sides }: Quantity): boolean =>
  (unit === undefined || unit === 'paces' || unit === 'steps') &&
  sign === undefined &&
  sides === undefined &&
  value >= 5 &&
  value <= 400;

const inMetres = { ft: 0.3048, m: 1, yd: 0.9144, chain: 20.1168 } as const;
const metresOf = ({ value, unit }: Quantity): number =>
  value * (unit === 'ft' || unit === 'm' || unit === 'yd' || unit === 'chain' ? inMetres[unit] : 0);

const walk = (set: Omit<WalkSaid, 'what'>): Note => ({ kind: 'setting', set: { what: 'walk', ...set } });
const countOf = ({ value, unit }: Quantity): Omit<WalkSaid, 'what'> => ({
  count: value,
  ...(unit === 'paces' || unit === 'steps' ? { of: unit } : {}),
});

const ownPace =
  '(?:(?:my|our|the|a|that|this|new) )*(?:pace|paces|pacing|step|steps|stride|strides|step length|pace length)(?: length| count)?';
const announcing = new RegExp(
  `(?:^|[ ,])(?:(?:do|doing|redo|set|setting|get|getting|check|checking|calibrate|calibrating|work out|working out|sort|sorting|sort out|find|finding|figure|measure|measuring|start with|starting with|begin with|test|testing|take|need|want|time for|first)(?: out)? ${ownPace}|${ownPace}(?: (?:first|calibration|check|test|again))+|calibrat(?:e|ing|ion)(?: walk| run)?(?: first| again)?)(?= |,|$|:)`,
);
const announcesAlone = new RegExp(
  `^(?:(?:ok|okay|so|right|well|first|now|and|then|let us|i|we|i have|we have|i will|we will|i am|we are|i had better|better|going to|got to|gotta|need|to|want|can|should|must|gonna|go|just|before anything|before we start|to start|start by|please|thing|up|off|let me|have) ?,? ?)*${announcing.source}(?: ?,? ?(?:first|now|again|today|out|please|before anything(?: else)?|before we start|off|then|here|sorted|sorted out|done|right|straight|dialled in|set|on the track|on the road|on the ride|properly|anew))*$`,
);

/** "Let's do my pace first": nothing yet; by itself it is told what to say. */
const announcesWalk = (scan: Scan): boolean =>
  !scan.asked && scan.numbers.length === 0 && announcesAlone.test(shapeOf(scan.pieces));

const ofWalk =
  /\b(?:tape|tapes|track|course|line|road|marked|marks|measured|stretch|distance|course|pegs|walk|walked|walking|flat|level|ride|path|length)\b/;
/** Words that may stand around it and tell nothing else. */
const plainWords =
  /^(?:walked|walk|walking|paced|pacing|pace|paces|step|steps|did|done|went|made|counted|got|took|needed|over|along|down|up|out|back|there|and|again|in|on|of|for|is|was|it|the|a|my|our|i|we|to|at|from|with|this|that|tape|tapes|track|course|line|road|marked|measured|stretch|distance|ride|path|flat|level|level ground|first|now|then|so|ok|okay|right|let us|do|doing|calibrat\w+|length|long|known|off|out|one|both|way|ways|each|time|laid|here|today|just|me|comes|came|makes?|start|check|test|hundred|sorted|get|set|need|want|take|find|work|figure|begin)$/;

/** "Pacing off the hundred foot tape". */
const pacedOff =
  /\b(?:pacing|paced|walking|walked|stepping|stepped) (?:it )?(?:off|out|along|down|over|on) (?:the |a |my |our )?N.*\b(?:tape|track|course|line|road|ride)\b|\b(?:paced|pacing|stepped|stepping|walked) (?:it )?(?:off|out) N/;

/** A length, and what was counted on it: once, or there and back; or nothing yet. */
function ofCourse(scan: Scan): Draft | undefined {
  const lengths = scan.numbers.filter(
    (at) => metresOf(scan.number(at)) >= 9 && metresOf(scan.number(at)) <= 210,
  );
  const [length, ...more] = lengths;
  if (length === undefined || more.length > 0) return undefined;
  const counts = scan.numbers.filter((at) => at !== length).map((at) => scan.number(at));
  const known = plainLength(scan.number(length));
  const said = shapeOf(scan.pieces);
  const announced = announcing.test(said);
  const named = scan.pieces.every(
    ({ is, light, text }) =>
      is === 'number' || is === 'break' || light || text.split(' ').every((word) => plainWords.test(word)),
  );
  const draft = (notes: Several): Draft => ({ notes, used: everyPlace(scan), against: -0.1 });
  if (counts.length === 0)
    return announced && named && (ofWalk.test(said) || / over (?:the )?N/.test(said))
      ? draft([walk({ length: known })])
      : undefined;
  const metres = metresOf(scan.number(length));
  const each = counts.map(({ value }) => metres / value);
  // A step, or a pace of two.
  const [least, most] = [Math.min(...each), Math.max(...each)];
  if (!counts.every(isCount) || least < 0.45 || most > 2.2 || most > 1.25 * least) return undefined;
  const isStepped = counts.some(({ unit }) => unit !== undefined);
  if (!announced && !isStepped && !(counts.length > 1 && /\bback\b/.test(said))) return undefined;
  // One count in its own words is read by who knows the words for it.
  if (counts.length === 1 && !announced && !pacedOff.test(said)) return undefined;
  if (!named || counts.length > 4) return undefined;
  const of = counts.find(({ unit }) => unit !== undefined);
  const [first, ...others] = counts.map((count) =>
    walk({ ...countOf({ ...count, ...(of?.unit ? { unit: of.unit } : {}) }), length: known }),
  );
  return first === undefined ? undefined : draft([first, ...others]);
}

/** The walk that finds a pace: its length and counts, or the count of the same length once more. */
export function walkDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0 || scan.has('scratch', 'stick', 'eye', 'top', 'base', 'tree'))
    return undefined;
  if (announcesWalk(scan)) return { notes: [walk({})], used: everyPlace(scan), against: -0.2 };
  const [at, ...others] = scan.numbers;
  if (at === undefined) return undefined;
  // Uphill is no pace of the level.
  if (scan.has('hill') && ofSame.test(shapeOf(scan.pieces)) && isCount(scan.number(at)))
    return { notes: [{ kind: 'remark', text: scan.text() }], used: everyPlace(scan), against: 0 };
  if (scan.numbers.every((one) => isCount(scan.number(one))) && thereAndBack.test(shapeOf(scan.pieces))) {
    const [first, ...more] = scan.numbers.map((one) => walk(countOf(scan.number(one))));
    return first && { notes: [first, ...more], used: everyPlace(scan), against: -0.1 };
  }
  if (others.length === 0 && isCount(scan.number(at)) && walkedBack.test(shapeOf(scan.pieces)))
    return { notes: [walk(countOf(scan.number(at)))], used: everyPlace(scan), against: -0.2 };
  return ofCourse(scan);
}

/** Words that only said what was to come say nothing beside it. */
export const withoutAnnouncing = (notes: readonly Note[]): readonly Note[] =>
  notes.length < 2
    ? notes
    : notes.filter(
        (note) =>
          !(
            note.kind === 'setting' &&
            note.set.what === 'walk' &&
            note.set.count === undefined &&
            !note.set.length
          ),
      );

const cutToReach =
  /\b(?:cut|as long as|same as|same length as|equals?|equal to|matches|matched|trimmed|made|sawn|sized|fits|fitted)\b.*\b(?:my|our|the) (?:own )?(?:reach|arm|arm's length)\b/;

/** "Stick's cut to my reach, twenty six inches": so it is taken to be; how long both are is a remark. */
export function reachDraft(scan: Scan): Draft | undefined {
  const [at, ...others] = scan.numbers;
  if (scan.asked || others.length > 0 || scan.species.length > 0 || !scan.has('stick')) return undefined;
  if (at !== undefined && !/^(?:in|cm|ft|m)$/.test(scan.number(at).unit ?? '')) return undefined;
  if (scan.has('not', 'no', 'tree', 'top', 'pace') || !cutToReach.test(scan.text())) return undefined;
  return { notes: [{ kind: 'remark', text: scan.text() }], used: everyPlace(scan), against: -0.1 };
}
