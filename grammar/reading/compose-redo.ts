/** A height that is measured again, beside a word of doubt or without: "I'll shoot it again", "that looks off, scrap it and take another"; and readings that are averaged. */
import type { Note } from '../../shared/note/note.ts';
import { handOf, type Target, targetOf } from './compose-targets.ts';
import { type Draft, Scan, type Several } from './scan.ts';

const verb =
  '(?:shoot|shooting|measure|measuring|do|doing|take|taking|tape|taping|pace|pacing|walk|walking|sight|sighting|check|checking|get|read|reading|try|trying|run|have)';
const anew = '(?:again|over|over again|once more|one more time|afresh|from scratch)';
const object =
  '(?:(?:it|that|this|him|her|them|the|its|last|one|height|ht|reading|shot|measurement|tree|angle|angles|of|for|.s)\\b ?)*';
/** "Do that height over", "redo it", "take another". */
const redoing = new RegExp(
  `\\b(?:${verb} ${object}${anew}|(?:redo|redoing|re do|re doing|reshoot|reshooting|re shoot|re shooting|remeasure|remeasuring|re measure|re measuring|retake|retaking|re take|retape|re tape|repace|re pace|resight|re sight|re read|reread)(?: ${object})?|(?:take|taking|get|getting|shoot|shooting|do|doing|try|trying) another(?: ${object})?|(?:go|going) (?:again|once more)|start(?:ing)? over|repeat(?:ing)? (?:that|the|this)(?: last)? (?:shot|reading|measurement|height)|(?:once more|one more time) (?:on|with) (?:that|this|it)(?: one)?|another (?:crack|stab|attempt)(?: (?:at|on))?(?: ${object})?|(?:take|taking|get|getting|have|having|try|trying|shoot|shooting|do|doing) (?:a new|a fresh|a better) (?:one|reading|shot|height|measurement))`,
);
/** Words that may stand round it: who, when, and what is wrong with the one that is there. */
const around =
  /^(?:i|we|us|me|let|lets|let us|let me|am|is|are|was|be|been|will|would|could|going|gonna|to|want|wanna|need|have|had|having|got|better|should|must|just|please|ok|okay|hang on|hold on|wait|no|nope|hmm|oops|sorry|and|so|then|but|now|quickly|can|not|never|do|does|did|think|reckon|seems|seem|looks|look|sounds|feels|right|wrong|bad|off|odd|funny|fishy|suspicious|iffy|dodgy|rubbish|rotten|crazy|mad|daft|silly|poor|trust|believe|like|happy|sure|with|too|high|low|tall|short|big|small|much|way|a|an|bit|the|last|that|this|it|one|height|ht|reading|shot|measurement|take|tree|angle|angles|of|for|my|its|was it|another|again|over|once|more|time|repeat|repeating|number|start|starting|'s|afresh|from|scratch|new|fresh|better|good|no good|any|at all|all|good enough|make|making|sense|give|go|crack|stab|attempt|at|on|must have|slipped|messed|up|that last|last one|last reading|that one|this one|the tree|that tree|can not|could not|be right|or|for me|in|there)$/;
const isAround = (text: string): boolean =>
  around.test(text) || text.split(' ').every((word) => around.test(word));
const ofVerbs = new RegExp(
  `^(?:${verb.slice(3, -1)}|redo|redoing|re|reshoot|reshooting|remeasure|remeasuring|retake|retaking|retape|repace|resight|reread)$`,
);
const isOfVerbs = (text: string): boolean =>
  text.split(' ').every((word) => ofVerbs.test(word) || around.test(word));

/** A tree that is named is one, whatever its name. */
const textOfTrees = (scan: Scan): string =>
  scan.pieces
    .map(({ is, text }) =>
      is === 'break' ? ',' : is === 'species' ? 'tree' : is === 'number' ? 'one' : text,
    )
    .join(' ')
    .replaceAll(' ,', ',');

/** "I don't need to" right before it; "I don't trust it" is why. */
const denied =
  /\b(?:do|did|does|will|would|need|should|could|can) not (?!(?:be|trust|like|believe|think|look|seem|know|sound|buy)\b)(?:\w+ ){0,3}$|\b(?:never|no need to|without) (?:\w+ ){0,2}$/;

/** "That number's rubbish" is about no plot. */
const isOfPlot = (scan: Scan): boolean =>
  scan.pieces.some(({ concepts, text }) => concepts.has('plot') && text !== 'number');

/** The height is measured again: in its place, or taken back first where that is said. */
export function redoDraft(scan: Scan): Draft | undefined {
  if (scan.asked || isOfPlot(scan) || scan.has('remark', 'restore', 'person', 'book', 'stand'))
    return undefined;
  const text = textOfTrees(scan);
  const again = redoing.exec(text);
  if (again === null || denied.test(text.slice(0, again.index))) return undefined;
  const target = targetOf(scan);
  const own = new Set(target?.used ?? []);
  if ([...scan.numbers, ...scan.species].some((at) => !own.has(at))) return undefined;
  const places = scan.placesOf(
    ({ text: word, concepts }) => isAround(word) || isOfVerbs(word) || concepts.has('scratch'),
  );
  return {
    notes: notesOf(scan, target),
    used: new Set([...places, ...own]),
    against: -0.1,
  };
}

/** What stands behind "redo that height,"; undefined where nothing is to be measured again, or nothing stands behind it. */
export function behindRedo(scan: Scan): Scan | undefined {
  const number = scan.pieces.findIndex(({ is }) => is === 'number');
  const end = scan.pieces.findIndex(({ is }) => is === 'break');
  // At a comma first, then the longest that says so.
  const ends = Array.from(
    { length: Math.max(0, Math.min(number, 10)) },
    (_, nth) => Math.min(number, 10) - nth,
  );
  for (const to of end > 0 && end < number ? [end, ...ends] : ends) {
    const [note, ...others] = redoDraft(new Scan(scan.pieces.slice(0, to)))?.notes ?? [];
    if (note?.kind !== 'answer' || others.length > 0) continue;
    const from = scan.pieces.findIndex(({ is }, at) => at >= to && is !== 'break');
    // "Redo it from 80": how far off belongs to what is measured.
    const led = /^(?:from|at)$/.test(scan.pieces[from - 1]?.text ?? '') ? from - 1 : from;
    return from < 0 ? undefined : new Scan(scan.pieces.slice(led), scan.asked);
  }
  return undefined;
}

/** Taken back in so many words: "take it again" is none of them. */
const taking =
  /\b(?:scratch|scrap|drop|delete|remove|cancel|strike|toss|ditch|bin|chuck|kill|dump|forget|lose|undo|(?:throw|take|cross|rub) (?:it|that|this|the \w+|that \w+) (?:out|off|away|back)|throw (?:out|away)|get rid of)\b/;

function notesOf(scan: Scan, target: Target | undefined): Several {
  const done: Note = taking.test(scan.text().replace(/\bfrom scratch\b/, ''))
    ? { kind: 'scratch', what: 'height' }
    : { kind: 'answer', answer: 'redo' };
  return target === undefined ? [done] : [handOf(target), done];
}

const averaging =
  /\b(?:average|averaging|avg|mean|combine|split the difference|meet in the middle|middle of|halfway|midway|come to together)\b/;
const several =
  /\b(?:them|those|these|both|the two|two|three|four|five|the (?:readings|shots|heights|takes|measurements|goes)|(?:two|three|four|five) (?:trees|of them)|last (?:two|three|four|five|couple|few|\d)|all of (?:it|them|those))\b/;
const besideMean =
  /^(?:just|ok|okay|and|so|then|please|let us|let me|let|us|i|we|will|would|can|you|take|use|using|keep|go|with|what|is|was|'s|the|a|an|average|averaging|avg|mean|combine|split|difference|out|up|meet|in|middle|of|for|to|them|those|these|both|two|three|four|five|last|all|readings?|shots?|heights?|takes?|measurements?|goes|it|on|that|trees?|one|together|as|height|call|make|half|way|between|halfway|midway|want|would like|like|this|for this tree|this tree|this one|down|put|down the|couple|few|come|do|together|do the|what do|both of them|those two|these two|the two of them|both readings|both heights|of those two|of these two|of the two)$/;

/** "Average those two", "take the mean of the last three": what the readings of a tree come to. */
export function togetherDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  if (!averaging.test(text) || scan.species.length > 0) return undefined;
  if (
    taking.test(text) ||
    scan.has('restore', 'plot', 'remark', 'dbh', 'perAcre', 'today', 'totals', 'basalArea', 'volume')
  )
    return undefined;
  // "Mean of those two" asks how they compare.
  const noun = /\b(?:the|an) (?:mean|average|avg)\b|^(?:mean|avg)\b/.test(text);
  if (noun && !/\b(?:take|use|using|go|keep|call|readings?|shots?|heights?|takes|measurements?)\b/.test(text))
    return undefined;
  const whole = /\bsplit the difference\b/.test(text);
  if (!whole && !several.test(text)) return undefined;
  const [at, ...others] = scan.numbers;
  const said = at === undefined ? undefined : scan.number(at);
  const counted =
    said !== undefined &&
    said.unit === undefined &&
    Number.isInteger(said.value) &&
    said.value > 1 &&
    said.value < 10;
  if (others.length > 0 || (said !== undefined && !counted)) return undefined;
  const count = said?.value ?? (/\b(?:both|two|couple)\b/.test(text) ? 2 : undefined);
  const places = scan.placesOf(
    ({ text: word }) => besideMean.test(word) || word.split(' ').every((one) => besideMean.test(one)),
  );
  return {
    notes: [{ kind: 'ask', about: 'together', ...(count === undefined ? {} : { count }) }],
    used: new Set([...places, ...scan.numbers]),
    against: -0.2,
  };
}
