/**
 * What is said of the day and not of the wood: breaks and coming back, the weather, what is left for another day, a while of
 * silence, the date, the report and the files. Each is known by its frame, since its words are those of talk of anything.
 */
import type { Note } from '../../shared/note/note.ts';
import type { SaidPiece } from './pieces.ts';
import { shapeOf } from './said-shape.ts';
import { clausesOf, type Draft, everyPlace, type Scan } from './scan.ts';
import { tellsMuch } from './telling.ts';

const whole = (scan: Scan, note: Note): Draft => ({ notes: [note], used: everyPlace(scan), against: -0.3 });
const remark = (scan: Scan): Note => ({ kind: 'remark', text: scan.text() });

const lead =
  '(?:(?:ok|okay|right|well|and|so|now|then|hey|hi|hello|yes|yeah|alright|all right|i am|we are|i|we|that is|thanks|sorry) ?,? ?)*';
const meal =
  '(?:(?:a|an|my|our|the|some|quick|short|early|late|little|N|few|minute|minutes|coffee|tea|lunch|dinner|snack|smoke|water|rest|breather|bite|sandwich|cuppa|break|breaks|pause|five|to eat|of) ?)+';
const pausing = new RegExp(
  `^${lead}(?:(?:taking|take|having|have|going for|going to have|stop|stopping|stopped|breaking|break|off|gone|going|pausing|pause|off to|out|time)(?: (?:up|off|now|here))?(?: (?:for|to have|to get|on))? ${meal}|(?:coffee|tea|lunch|dinner|snack|smoke|water)(?: break| time)?|lunchtime|break time|pausing|take five|a break|i need a break)(?: ?,? ?(?:now|then|here|please|back (?:soon|later|after|in) ?(?:N|half an hour|an hour|a bit|a minute)?(?: minutes?)?))*$`,
);
const resuming = new RegExp(
  `^${lead}(?:back(?: on| at it| to it| to work| again| from (?:the |my |our )?(?:lunch|break|dinner|tea|coffee|truck|car|van))+|back on the job|resume|resuming|unpause|unmute|(?:i am|we are) back|going again|here again|ready to go(?: on| again)?|back now|ready again)(?: ?,? ?(?:now|again|then|please|today|go ahead|here))*$`,
);
const mute = new RegExp(
  `^${lead}(?:please )?(?:mute|mute it|mute yourself|be quiet|quiet|hush|shush|silence|stay quiet|keep quiet|go quiet)(?: (?:please|now|for (?:N|a|half an?|five|ten|a few|a couple of)? ?(?:few|bit|while|moment|minute|minutes|hour|hours|sec|second|seconds|now)?(?: minutes| seconds)?|while .*|a minute|a moment|a sec))*(?:, .*)?$`,
);

/** Breaks, coming back, and silence for a while. */
export function pauseDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0 || scan.has('plot', 'scratch')) return undefined;
  const said = shapeOf(scan.pieces);
  if (pausing.test(said)) return whole(scan, { kind: 'control', op: 'pause' });
  if (resuming.test(said)) return whole(scan, { kind: 'control', op: 'resume' });
  const [, ...others] = clausesOf(scan.pieces);
  // Why it is to be quiet is talk; a number or a word of measuring in it is not.
  const talk = others.every(([from, to]) => !scan.pieces.slice(from, to).some(isMeasured));
  return mute.test(said) && talk ? whole(scan, { kind: 'control', op: 'quiet' }) : undefined;
}

const isMeasured = ({ is, concepts }: SaidPiece): boolean =>
  is === 'number' || is === 'mark' || concepts.has('eye') || concepts.has('pace') || concepts.has('remark');

const weather =
  /^(?:sun|sunny|sunshine|rain|raining|rains|rainy|drizzle|drizzling|drizzly|showers?|showery|snow|snowing|snowy|sleet|hail|wind|winds|windy|breeze|breezy|gusts?|gusty|blowing|fog|foggy|mist|misty|clouds?|cloudy|overcast|frost|frosty|freezing|cold|chilly|cool|warm|hot|humid|muggy|soaked|soaking|pouring|thunder|lightning|storm|stormy|dusk|dull|weather|sky|skies|damp|sleeting|spitting|bright|hazy|dark|getting dark|light)$/;
const isWeather = ({ text }: SaidPiece): boolean => text.split(' ').some((word) => weather.test(word));
/** Words that say where and how much beside the weather. */
const beside =
  /^(?:up|down|top|up top|out|over|through|off|on|in|again|level|bit|little|near|low|high|behind|below|above|off the hill)$/;

/** "Raining, hands wet": talk of the weather, by itself; it is no remark unless somebody says so. */
export function isWeatherTalk(scan: Scan): boolean {
  if (scan.asked || scan.numbers.length > 0 || scan.species.length > 0 || scan.has('not', 'no', 'remark'))
    return false;
  const clauses = clausesOf(scan.pieces).map(([from, to]) => scan.pieces.slice(from, to));
  const [first] = clauses;
  // Behind the weather of the first clause others tell what it does: "raining, hands wet".
  if (first === undefined || !first.some(isWeather)) return false;
  const told = (piece: SaidPiece): boolean =>
    isWeather(piece) || piece.light || beside.test(piece.text) || !tellsMuch(piece);
  const plain = clauses.every((pieces) => pieces.every(told) && pieces.length < 9);
  const namesPlace = scan.pieces.some(({ capital }, at) => capital && at > 0);
  return plain && !namesPlace && clauses.length < 4;
}

const anotherDay =
  '(?:tomorrow|tonight|another day|next (?:week|time|day|trip|visit|month)|(?:on )?(?:monday|tuesday|wednesday|thursday|friday|saturday|sunday)|the morning|after the weekend|later in the week|this afternoon|after lunch)';
const leaving = new RegExp(
  `\\b(?:leav(?:e|es|ing)|left|do|doing|finish|finishing|pick up|picking up|come back|coming back|start|starting|carry on|continue|go on|still|get to|resume|return|back|is for|are for|is left|are left)\\b.*\\b${anotherDay}\\b`,
);
/** What is left. */
const isLeft = ({ is, concepts, text }: SaidPiece): boolean =>
  is === 'number' ||
  concepts.has('plot') ||
  concepts.has('stand') ||
  /\b(?:rest|others|remaining)\b/.test(text);

/** "Leaving plots three and four for tomorrow": what is left is a remark of the day. */
export function laterDayDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0 || scan.has('ask', 'dbh', 'eye', 'pace')) return undefined;
  const clauses = clausesOf(scan.pieces, ({ is, text }) => is === 'break' && text !== 'and');
  const said = clauses.map(([from, to]) => scan.text(from, to));
  const left = said.findIndex((text) => leaving.test(text));
  if (left < 0 || !scan.pieces.some(isLeft)) return undefined;
  // Beside it stands only why: no number and nothing else that is to be done.
  const why = clauses.every(
    ([from, to], at) =>
      at === left ||
      !scan.pieces.slice(from, to).some((piece) => piece.is === 'number' || piece.is === 'mark'),
  );
  return why ? whole(scan, remark(scan)) : undefined;
}

const asking =
  '(?:(?:ok|okay|so|right|now|well|and|then|please|can|could|would|will|you|i|we|need|want|would like|like|to|have|let us|let me|just|go ahead|that is it|all done|done) ?,? ?)*';
const report = new RegExp(
  `^${asking}(?:(?:give|write|make|do|print|show|send|get|draw|run|produce|prepare|see|read|save|build|create|put together|write out|write up|draw up|run off)(?: me| us| up| out| off)*(?: a| the| my| our| an| that| today's| full| evening| final| day's| whole)* report|(?:the |a |my |evening |full |final )*report(?: now| please)?$|where is the report|where do i (?:find|get) the report|report (?:for|on|of|by|with|time))`,
);
const things =
  '(?:it|it all|all|all of it|all that|everything|the lot|the (?:job|book|day|data|work|session|survey|tally|cruise|notes|whole thing|whole lot))';
const files = new RegExp(
  `^${asking}(?:(?:save|back up|backup|store) ${things}\\b|(?:save|export|download)$|(?:is|has|was) (?:it|it all|everything|all of it|all that|all of that|that|all) (?:been )?(?:saved|stored|backed up|kept safe)|(?:did|have) you (?:save|saved|got) ${things}|(?:save|send|export|email|mail|share|download|write|put|get|give)(?: me| us| out| off| up)*(?: a| the| my| all| of| this| that| it| as| tree| trees| plot| plots| in| to| an| list)* ?(?:file|files|spreadsheet|table|csv|tree list|list|data|results|excel|trees)\\b.*(?:\\b(?:file|files|spreadsheet|csv|out|off|office|email|mail|excel|computer|table|it home)\\b|$)|where (?:are|is|do i find|do i get|can i find) (?:the |my )*(?:files?|table|spreadsheet|data|csv))`,
);

/** "Give me the report", "save it all", "send the list as a file": all is kept as it is said, and where the files are is told. */
export function takeAwayDraft(scan: Scan): Draft | undefined {
  if (scan.numbers.length > 0 || scan.has('scratch', 'restore', 'nextPlot', 'remark', 'fix'))
    return undefined;
  const [first] = clausesOf(scan.pieces, ({ is, text }) => is === 'break' && text !== 'and');
  if (first === undefined) return undefined;
  const said = scan.text(...first).replaceAll(',', ' and');
  if (report.test(said)) return whole(scan, { kind: 'ask', about: 'report' });
  return files.test(said) ? whole(scan, { kind: 'ask', about: 'files' }) : undefined;
}

const month = '(?:january|february|march|april|may|june|july|august|september|october|november|december)';
const ofDate = new RegExp(
  `^(?:(?:it is|today is|date|the date is|on) )*(?:(?:the )?[a-z0-9-]+(?: [a-z-]+)? (?:of )?${month}|${month} (?:the )?[a-z0-9-]+(?: [a-z-]+)?)(?:,? [0-9]{4})?$`,
);

/** "Second of May": a remark, since each note has the day of its clock. */
export function dateDraft(scan: Scan): Draft | undefined {
  const dated = !scan.asked && scan.species.length === 0 && ofDate.test(scan.text());
  const told = scan.pieces.some(({ is }) => is === 'number' || is === 'ordinal');
  return dated && told ? whole(scan, remark(scan)) : undefined;
}
