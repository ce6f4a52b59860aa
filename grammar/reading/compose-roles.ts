/**
 * Who does what in a crew, clause by clause: "Rowan is calling, I write". Who calls what is measured is who measures, as pace and
 * eye are that person's; who only helps is a remark. And the end of a day with its time, which is a remark, too, with what the
 * day came to.
 */
import type { Note } from '../../shared/note/note.ts';
import type { SaidPiece } from './pieces.ts';
import { isName } from './said-shape.ts';
import { clausesOf, type Draft, everyPlace, type Scan, type Several } from './scan.ts';

const who = '(?:NAME|i|me|we|us|he|she|they|him|her|them|somebody else|someone else)';
// Single words only: of a phrase beside its own words a long text could be split in too many ways.
const isDoing =
  "(?:(?:'s|is|am|are|was|will|be|has|have|had|got|gets|takes|took|does|doing|goes|going|to|the|one|it|just|only|on|in|with|at)(?![a-z]) ?)*";
const calls =
  '(?:call|calls|calling|shoot|shoots|shooting|measure|measures|measuring|read|reads|reading|sight|sights|sighting|talk|talks|talking|speak|speaks|speaking)(?: (?:out|it|them|the|heights|trees|numbers|height|of|this|that|one|him|her|next))*';
/** What is measured from where one stands: whose pace and eye it is. */
const heightsOf =
  '(?:(?:do|does|doing|on|at|takes|taking|got|has) (?:the |all the |our )?(?:heights|measuring|shooting|talking|calling|sighting|clinometer work))';
const helps =
  '(?:write|writes|writing|record|records|recording|book|books|booking|scribe|scribes|scribing|note|notes|tally|tallies|tallying|keep|keeps|keeping|hold|holds|holding|carry|carries|carrying|tape|tapes|taping|pull|pulls|pulling|run|runs|running|flag|flags|flagging|help|helps|helping|watch|watches|watching|drive|drives|driving|work|works|working|clear|clears|clearing|alone|along|out|here)?(?: ?(?:it|them|down|the|a|our|my|notes|note|book|notebook|pencil|clipboard|sheet|sheets|tape|tapes|stick|pole|prism|gauge|compass|map|flagging|ribbon|rod|staff|clinometer|clino|laser|hypsometer|callipers|calipers|diameters|diameter|dbh|dbhs|heights|paint|chalk|brush|points|plots|plot|centre|center|dumb|smart|end|other|of|for|me|us|and|with|on|here|alone|at|tree|trees|all|over|own|by|myself|himself|herself|solo)(?![a-z]))*';
/** Who comes and goes. */
const moves =
  "(?:(?:'s|is|am|are|was|has|have|had|will be|all|just)(?![a-z]) )*(?:gone|left|leaves|leaving|went|joined|joins|joining|arrived|arriving|arrives|stayed|staying|stays|coming|comes|came|off|late|sick|poorly|ill|away|home|missing|(?:our|my|the|a) (?:[a-z]+ )?(?:man|woman|hand|helper|driver|student|trainee|apprentice|boss|third|fourth))(?: (?:[a-z']+|at N|for N|till N|until N))*";
const when =
  '(?: ?(?:today|now|this morning|this afternoon|from here on|from here|from now on|again|for this one|for now|please|too|then|for a bit|for a while|while|on this one|on this plot))*';
const lead =
  /^(?:and |so |then |ok |okay |right |well |today |now |from here |from here on |from now on |this morning |this afternoon |it is |it 's |there is |there are |we have |we have got |(?:the )?(?:crew|team|party|gang|squad)(?: today| now)?(?: is| 's| are)? )*/;
const aCaller = new RegExp(`^(${who}) ?${isDoing}(?:${calls}|${heightsOf})${when}$`);
const aHelper = new RegExp(`^(${who}) ?${isDoing}${helps}${when}$`);
const aMover = new RegExp(`^(${who}) ?${moves}$`);
const aThing = /^(?:the|a|my|our) [a-z]+$/;
const opening =
  /^(?:swap|swapping|swapped|switch|switching|changing|change|change of|new|same)(?: (?:roles|jobs|places|over|round|around|crew|of roles))+(?: (?:now|today|here))*$|^(?:just|only) (?:me|us|the two of us|two of us|NAME|NAME and me|me and NAME)(?: (?:today|here|now|out|out here|out today))*$|^(?:two|three|both|all) of us(?: (?:today|here|out|out here|out today))*$/;

/** Told by the one who speaks, or of comings and goings: nobody is named as the one who measures. */
const ofSelf =
  /^(?:i|me|we|us|he|she|him|her|they)\b|\b(?:just me|gone|left|leaves|leaving|went|joined|joins|joining|helping|off sick|with me|with us|our)\b/;

const isBareName = /^NAME(?: (?:today|now))*$/;

/** "Petra here": the one who speaks names herself. */
const presents = /^NAME(?: (?:here|speaking|again|back))+$/;

/** A clause with its names put out of the way. */
interface Clause {
  readonly text: string;
  readonly coded: string;
  readonly names: readonly string[];
}

/** "At ten", "for two days". */
const isTimed = (before: SaidPiece | undefined): boolean =>
  /^(?:at|for|till|until)$/.test(before?.text ?? '');

function clausesWithNames(scan: Scan): readonly Clause[] {
  const parts = ({ is, text }: SaidPiece): boolean => is === 'break' || text === 'and';
  return clausesOf(scan.pieces, parts).map(([from, to]) => {
    const own = scan.pieces.slice(from, to);
    const coded = own
      .map((piece, at) =>
        isName(piece) ? 'NAME' : piece.is === 'number' && isTimed(own[at - 1]) ? 'N' : piece.text,
      )
      .join(' ')
      // A name and a surname are one.
      .replace(/NAME(?: NAME)+/g, 'NAME')
      .replace(lead, '');
    return {
      text: scan.text(from, to),
      coded,
      names: own.filter(isName).map((piece) => piece.name ?? piece.text),
    };
  });
}

/** "Back to me now": who spoke before speaks again. */
const backToMe =
  /^(?:(?:and|so|ok|okay|right|well|it is|it 's|now) )*(?:back to me|me again|back on me|(?:i am|i will be|i) (?:shooting|measuring|sighting|calling|on the heights|doing the heights|taking over|take over|will take over)(?: them| it| the heights)? again|i am back on (?:the )?(?:heights|stick|clinometer|clino|laser|hypsometer)|my turn again|over to me(?: again)?|me (?:shooting|measuring|sighting|calling) again)(?: now| again| then| from here(?: on)?| for the rest)*$/;

export function backDraft(scan: Scan): Draft | undefined {
  if (scan.asked || !backToMe.test(scan.text())) return undefined;
  return {
    notes: [{ kind: 'setting', set: { what: 'person', name: 'me' } }],
    used: everyPlace(scan),
    against: -0.3,
  };
}

/** Who measures, and who helps. */
export function rolesDraft(scan: Scan): Draft | undefined {
  const timed = scan.numbers.filter((at) => isTimed(scan.pieces[at - 1]));
  const counted = /\b(?:two|three|four|all) of us\b/.test(scan.text()) ? 1 : timed.length;
  if (scan.asked || scan.numbers.length > counted || scan.species.length > 0) return undefined;
  if (scan.has('scratch', 'remark', 'ask', 'no', 'not')) return undefined;
  const clauses = clausesWithNames(scan);
  const isNamed = clauses.some(({ names }) => names.length > 0);
  if (!isNamed && !clauses.some(({ coded }) => opening.test(coded))) return undefined;
  const isTold = ({ coded }: Clause): boolean =>
    aCaller.test(coded) || aHelper.test(coded) || aMover.test(coded) || opening.test(coded);
  // "I have got the tape and the book".
  const goesOn = ({ coded }: Clause, at: number): boolean => at > 0 && aThing.test(coded);
  if (!clauses.every((clause, at) => isTold(clause) || goesOn(clause, at))) return undefined;
  // "Kestrel Spur today": without somebody beside it a bare name may be that of a place.
  const bare = clauses.some(({ coded, text }) => isBareName.test(coded) && text.includes(' '));
  const bySelf = clauses.some(({ coded }) => ofSelf.test(coded));
  if (bare && !bySelf) return undefined;
  const callers = clauses.filter(({ coded }) => /^NAME\b/.test(coded) && aCaller.test(coded));
  const [caller, ...others] = callers;
  const selves = clauses.filter(({ coded }) => !/^NAME\b/.test(coded) && aCaller.test(coded));
  const whole: Note = { kind: 'remark', text: scan.text() };
  // Who only helps beside somebody who is known to measure is told by that person's draft.
  const draft = (notes: Several, against = -0.2): Draft => ({ notes, used: everyPlace(scan), against });
  const [name, more] = caller?.names ?? [];
  if (
    caller === undefined ||
    name === undefined ||
    more !== undefined ||
    others.length > 0 ||
    selves.length > 0
  )
    return draft([whole], bySelf && !clauses.some(({ coded }) => presents.test(coded)) ? -0.2 : 0.4);
  const rest = clauses.filter((clause) => clause !== caller && !opening.test(clause.coded));
  const person: Note = { kind: 'setting', set: { what: 'person', name } };
  return draft(
    rest.length === 0
      ? [person]
      : [person, { kind: 'remark', text: rest.map(({ text }) => text).join(', ') }],
  );
}

const ends =
  '(?:knock|knocking|knocked) off|(?:quit|quitting)(?: time)?|(?:pack|packing|packed)(?: it| things)? (?:in|up)|(?:call|calling|called) it (?:a day|quits|a night)|(?:wrap|wrapping|wrapped)(?: it| things)? up|(?:clock|clocking|clocked) (?:off|out)|(?:all )?(?:done|finished|through)(?: here)? (?:for (?:today|the day|the night)|today)|that is (?:it|all|us|me|the day)(?: done| finished| through)?(?: for (?:today|the day))?|calling it(?= at )|end of (?:the )?(?:day|shift|work)|that will do(?: me| us)?(?: for (?:today|the day))?|(?:heading|headed|head|going|off) (?:back|home|in|out)(?: to the (?:truck|car|cabin|camp|road))?|down tools|home time|back to the (?:truck|car)|(?:stop|stopping|stopped|finish|finishing|finished|done) (?:for (?:today|the day)|today)';
const endsPerhaps = '(?:stop|stopping|stopped|finish|finishing|finished|done)(?: up| here)?';
const time =
  '(?:about |around |just after |just before |just gone |nearly |roughly )?(?:(?:N|half|quarter|a quarter)(?: minutes)? (?:past|to|after|before|til|till|of) N|half N|N(?: : N)?(?: (?:am|pm|a m|p m|o.?clock|hours|sharp|ish))?|noon|midday|dusk|dark|sunset)';
const day = (verbs: string): RegExp =>
  new RegExp(
    `^(?:(?:and|so|ok|okay|right|well|all right|i|we|i am|we are|i will|we will|going to|let us|time to|(?:the )?last (?:tree|one|plot|stop)(?: is| was)?(?: done| in)?|(?:it is )?${time}) ?,? ?)*(?:${verbs})(?: ?,? ?(?:now|for today|for the day|today))*(?: ?,? ?(?:at|by|it is|time|the time is))* ?,? ?(?:${time})?(?: ?,? ?(?:today|for today|for the day|now|everybody|everyone|folks|thanks))*$`,
  );
const endsDay = day(ends);
const mayEndDay = day(endsPerhaps);

/** "Knocking off at ten past four": it is kept as a remark, and told what the day came to. */
export function dayEndDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0 || scan.has('plot', 'scratch')) return undefined;
  const coded = scan.pieces
    .map(({ is, text }) =>
      is === 'number' && !/^(?:a )?(?:half|quarter)$/.test(text)
        ? 'N'
        : is === 'break'
          ? text === ':'
            ? ':'
            : ','
          : text,
    )
    .join(' ')
    .replaceAll(' ,', ',');
  // The time stands behind it, or before.
  const timed = new RegExp(`(?:^| )${time}(?:,| |$)`).test(coded);
  if (!timed) return undefined;
  const sure = endsDay.test(coded);
  if (!sure && !mayEndDay.test(coded)) return undefined;
  const text = scan.pieces
    .map(({ text: word }) => word)
    .join(' ')
    .replace(/ : /g, ':')
    .replaceAll(' ,', ',')
    .replaceAll(" '", "'");
  return {
    notes: [
      { kind: 'remark', text },
      { kind: 'ask', about: 'totals', scope: { day: 'today' } },
    ],
    used: everyPlace(scan),
    against: -0.2,
    ...(sure ? {} : { unsure: true }),
  };
}
