/**
 * Questions in ways of their own: the trees of a plot, what a tree counts in, trees that lack something, the radius in use,
 * the volume of the last few, whether so many plots are enough, and sums of another stand.
 */
import type { NoteOf, Scope } from '../../shared/note/note.ts';
import type { QuestionTopic } from '../../shared/note/question-topics.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { askDraft, scopeSaid } from './compose-asking.ts';
import { bareTarget } from './compose-looking.ts';
import { targetOf } from './compose-targets.ts';
import { type Draft, everyPlace, Scan } from './scan.ts';

type Ask = NoteOf<'ask'>;
type Drafter = (scan: Scan) => Ask | undefined;

/** A word that nobody knows may ask of something else. */
const hasUnknown = (scan: Scan): boolean =>
  scan.pieces.some(({ unknown, text }) => unknown && !/^(?:yet|given|told)$/.test(text));

const plots = '(?:plot|point|stop|station|circle|sample|one)';
const readOut =
  /\b(?:list|read|reread|run (?:me )?through|go (?:back )?(?:through|over)|run down|call (?:out|back)|tell me|show me|give me|let me hear|hear|repeat|recite|say (?:back|again)|what have (?:i|we) got|what have you got|what do (?:i|we) have|what did (?:i|we) (?:get|put|count|tell you)|what (?:all )?is (?:down|booked|kept)|what all is|what (?:is|does|did) .* look like|how (?:is|does|did) .* look|what trees|which trees)\b/;
/** Nothing of it is asked in sums. */
const inSums = [
  'basalArea',
  'volume',
  'density',
  'mean',
  'howMany',
  'howMuch',
  'error',
  'size',
  'radius',
  'slope',
  'lastNotes',
  'remark',
  'lacking',
  'scratch',
  'restore',
  'tall',
  'need',
  'speciesAsked',
] as const;
const ofPlot = new RegExp(
  `\\b(?:(?:the|this|that|my) ${plots.replace('|one', '')}|(?:on|at|in|for) (?:this|that) one)\\b|\\bhere\\b`,
);

/** "List this point for me", "read me back the plot", "what have I got on point three": its trees one by one. */
const plotRead: Drafter = (scan) => {
  const text = scan.text();
  const [plot, ...others] = scan.of('plot');
  if (!readOut.test(text) || scan.has(...inSums) || others.length > 0 || scan.species.length > 0)
    return undefined;
  if (scan.numbers.some((at) => at !== plot) || hasUnknown(scan)) return undefined;
  if (
    /\b(?:plots|points|stops|stations|number|which plot|what plot|last|next|close|closed|done|finish|finished|totals?|summary|sums?|add up|up to)\b/.test(
      text,
    )
  )
    return undefined;
  if (plot !== undefined) return { kind: 'ask', about: 'list', scope: { plot: scan.number(plot).value } };
  return ofPlot.test(text) ? { kind: 'ask', about: 'list', scope: { plot: 'this' } } : undefined;
};

const sum =
  '(?:basal area|ba|volume|board feet|totals?|sums?|count|density|trees per acre|average|mean|tally|estimate)';
const counts = new RegExp(
  `\\b(?:go|goes|get|make it) in$|\\b(?:count|counts|counted|included)$|\\b(?:go|goes|count|counts|counted|included|figure|figures|get|gets|come|comes|taken|put) (?:in|into|to|towards?|for|as part of)(?: with)? (?:the |my |our )?${sum}\\b|\\b(?:in|part of|left out of|out of) (?:the |my |our )?${sum}\\b`,
);
const leaving = new RegExp(
  `^(?:please |and |so |ok |okay |can you |could you |just )*(?:leave|keep|take|do not count|do not include|exclude|drop|not counting|no)\\b.*\\b(?:dead|snags?)\\b.*\\b(?:${sum}|out)\\b`,
);
const pointing = /\b(?:that|it|this|that one|this one|that tree|he|she)\b/;

/** "Does that go in the basal area", "is the dead ash in the volume", "leave the dead ones out of the volume". */
const countedAsked: Drafter = (scan) => {
  const text = scan.text();
  if (leaving.test(text) && scan.species.length === 0 && scan.numbers.length === 0)
    return { kind: 'ask', about: 'counted' };
  const asks =
    /^(?:so |and |ok |okay |wait |hang on |,)*(?:do|does|did|is|are|will|would|has|should|was)\b/.test(text);
  if (!asks || !counts.test(text)) return undefined;
  const target = targetOf(scan) ?? bareTarget(scan);
  if (scan.numbers.some((at) => target?.used.includes(at) !== true)) return undefined;
  if (target?.tree !== undefined) return { kind: 'ask', about: 'counted', tree: target.tree };
  if (target?.which !== undefined) {
    const status = scan.has('dead') ? { status: 'dead' as const } : {};
    return { kind: 'ask', about: 'counted', which: { ...target.which, ...status } };
  }
  if (scan.has('dead', 'cull')) return { kind: 'ask', about: 'counted' };
  return pointing.test(text) ? { kind: 'ask', about: 'counted', which: {} } : undefined;
};

const lacking =
  /\b(?:missing|lack(?:s|ing)?|without|still (?:need|needs|want|wants|waiting|missing|to get|to do)|need(?:s|ing)?|have no|has no|with no|have not got|has not got|got no|not got|(?:have|has|did) (?:not (?:i|we)|(?:i|we) not) (?:given|give|told|tell|put|got|get|measured|measure|done|do)|(?:i|we) (?:have|did) not (?:given|give|told|tell|put|got|get|measured|measure)|forgot(?:ten)?|left out|no)\b/;
const parts = [
  ['logs', /\b(?:logs?|log count|log counts|log tally)\b/],
  ['height', /\b(?:heights?|hts?|tall)\b/],
  ['diameter', /\b(?:diameters?|dbh|sizes?|girths?)\b/],
  ['species', /\b(?:species|names?|kinds?)\b/],
] as const;
const justCounted =
  /\b(?:just|only) (?:the |give me the |tell me the |say the )?(?:number|how many|count|total|figure|a number|tally)\b|\bhow many\b/;

/** "Any trees missing a log count", "which trees have no height, just the number". */
const lackAsked: Drafter = (scan) => {
  const text = scan.text();
  const asks =
    /\b(?:any|which|what|how many|is there|are there|anything|who|list|tell me|show me|have i|did i)\b/.test(
      text,
    );
  const trees =
    /\b(?:trees?|stems?|ones?|of them|any|anything|how many)\b/.test(text) || scan.species.length > 0;
  if (!asks || !trees || !lacking.test(text) || scan.has('scratch', 'restore', 'remark')) return undefined;
  if (scan.of('plot').length > 0 || /\b(?:plots|points|stops)\b/.test(text)) return undefined;
  const lacks = parts.find(([, words]) => words.test(text))?.[0];
  const [species, ...kinds] = scan.species;
  // "A log count" is no log.
  const numbers = scan.numbers.filter((at) => scan.number(at).unit !== 'logs' || scan.number(at).value !== 1);
  if (lacks === undefined || numbers.length > 0 || kinds.length > 0) return undefined;
  if (hasUnknown(scan)) return undefined;
  const scope: Scope = { lacks, ...(species === undefined ? {} : { species: scan.name(species) }) };
  const here = /\bhere\b|\bthis (?:plot|point|stop)\b/.test(text);
  return {
    kind: 'ask',
    ...(justCounted.test(text)
      ? { about: 'trees' as const, alone: true as const }
      : { about: 'list' as const }),
    scope: here ? { ...scope, plot: 'this' } : scope,
  };
};

/** "What's the radius on that", "how big is the circle here": of the plots in use. */
const radiusAsked: Drafter = (scan) => {
  const text = scan.text();
  const asks = scan.asked || /\b(?:what|how|which|tell me|give me|remind me)\b/.test(text);
  if (
    scan.isThisPlot() ||
    !asks ||
    scan.numbers.length > 0 ||
    scan.species.length > 0 ||
    scan.has('scratch', 'tree')
  )
    return undefined;
  const radius = /\b(?:radius|radii)\b/.test(text);
  const circle =
    /\bhow (?:big|wide|large|far (?:out|across)) (?:is|are|does|do|should)\b.*\b(?:circle|circles|plot|plots)\b/.test(
      text,
    );
  const plain = !hasUnknown(scan);
  return radius && plain && !circle ? { kind: 'ask', about: 'circle' } : undefined;
};

/** "Volume of those two", "board feet in the last three": of the trees told last. */
const lastVolumes: Drafter = (scan) => {
  const text = scan.text();
  const volume = /\b(?:volume|board feet|board foot|cubic|scale|wood)\b/.test(text);
  const [at, ...more] = scan.numbers;
  if (!volume || more.length > 0 || scan.species.length > 0 || scan.has('plot', 'perAcre')) return undefined;
  const both = /\b(?:both(?: of (?:them|those))?|those two|these two|the two(?: of them)?)\b/.test(text);
  if (at === undefined) return both ? { kind: 'ask', about: 'volume', count: 2 } : undefined;
  const { value, unit } = scan.number(at);
  const pointed = /^(?:those|these|last|the|past)$/.test(scan.pieces[at - 1]?.text ?? '');
  const whole = unit === undefined && Number.isInteger(value) && value > 0 && value < 30;
  return pointed && whole && /^(?:|trees|ones|stems|together|,)$/.test(scan.pieces[at + 1]?.text ?? '')
    ? { kind: 'ask', about: 'volume', count: value }
    : undefined;
};

/** "Do I need more than 8 points for 15 percent", "are eight plots enough for ten percent". */
const enoughAsked: Drafter = (scan) => {
  const text = scan.text();
  const percent = scan.numbers.find((at) => scan.number(at).unit === 'pct');
  const [many, ...others] = scan.numbers.filter((at) => at !== percent);
  const asks =
    scan.asked ||
    /^(?:so |and |ok |okay )*(?:do|does|will|would|is|are|can|should) (?:i|we|the|\d+|[a-z]+)\b/.test(text);
  const enough =
    /\b(?:enough|need|more than|sufficient|suffice|cut it|get (?:me|us)|make it|reach|do for|do it)\b/.test(
      text,
    );
  if (!asks || !enough || percent === undefined || many === undefined || others.length > 0) return undefined;
  if (scan.has('top', 'base', 'angle', 'slope', 'defect', 'again', 'tall', 'retake') || many > percent)
    return undefined;
  const { value, unit } = scan.number(many);
  const counted = /^(?:plots|points|stops|stations|samples)$/.test(scan.pieces[many + 1]?.text ?? '');
  const plain = counted || /\b(?:enough|suffice|do for|cut it)\b/.test(text);
  if (unit !== undefined || !Number.isInteger(value) || value < 1 || !plain) return undefined;
  return { kind: 'ask', about: 'plotsNeeded', percent: scan.number(percent).value, count: value };
};

const stillToDo =
  /\b(?:what|anything|which things|tell me what|is anything|is there anything)\b.*\b(?:missing|incomplete|unfinished|not finished|not done|left undone|outstanding|lacking|left to (?:do|measure|fill in)|still to (?:do|measure|fill in)|to finish|not (?:got|filled in|measured) yet|have (?:i|we) (?:missed|forgotten|left out|skipped)|did (?:i|we) (?:miss|forget|leave out|skip))\b|\b(?:did|have) (?:i|we) (?:leave|left|miss|missed|forget|forgotten|skip|skipped) (?:anything|something)\b/;

/** "What's still missing today", "anything left to measure": what trees still lack, and what is open. */
const missingAsked: Drafter = (scan) => {
  const text = scan.text();
  if (!stillToDo.test(text) || scan.numbers.length > 0 || scan.species.length > 0) return undefined;
  if (scan.has('log', 'tall', 'dbh', 'speciesAsked', 'remark', 'volume')) return undefined;
  if (/\b(?:plots|points|stops)\b/.test(text) || hasUnknown(scan)) return undefined;
  return { kind: 'ask', about: 'missing' };
};

/** "Anything you weren't happy with today": who asks speaks to the notebook. */
const doubtsAsked: Drafter = (scan) => {
  const leads =
    /^(?:so |and |ok |okay |now |right )*(?:was there |is there |were there |are there )?(?:anything|any|what|which|something)\b/;
  const own = scan.numbers.length === 0 && scan.species.length === 0 && !hasUnknown(scan);
  const other = scan.has('why', 'scratch', 'restore', 'helpAsked', 'plot', 'lacking');
  const plain =
    scan.has('doubts') && !/\bwith you\b/.test(scan.text()) && own && !other && leads.test(scan.text());
  return plain && /\byou\b/.test(scan.text()) ? { kind: 'ask', about: 'doubts' } : undefined;
};

const drafters: readonly Drafter[] = [
  doubtsAsked,
  missingAsked,
  plotRead,
  countedAsked,
  lackAsked,
  radiusAsked,
  lastVolumes,
  enoughAsked,
];

/** One question of these kinds. */
export function askedMoreDraft(scan: Scan): Draft | undefined {
  for (const drafter of drafters) {
    const note = drafter(scan);
    if (note !== undefined) return { notes: [note], used: everyPlace(scan), against: -0.4 };
  }
  return undefined;
}

const named = {
  trees: 'trees|stems|how many(?: trees| stems)?|the number(?: of trees)?|count',
  basalArea: 'basal area|ba',
  volumePerAcre: 'volume|board feet',
  density: 'trees per acre|trees per hectare|stems per acre|stems per hectare|density|stocking',
  meanDiameter: '(?:mean|average|avg) (?:diameter|dbh|size)',
  meanHeight: '(?:mean|average|avg) height',
  biomass: 'biomass',
} as const satisfies Partial<Record<QuestionTopic, string>>;
const anyNamed = `(?:the )?(?:${Object.values(named).join('|')})`;
const enumerated = new RegExp(`(?:^|[ ,])(${anyNamed}(?: ?, ?${anyNamed})* ?,? and ${anyNamed})(?=$|[ ,])`);

/** "How much sugar maple in stand 3, trees and basal area": several sums of the same trees. */
export function severalSumsDraft(scan: Scan): Draft | undefined {
  const text = scan.text();
  const list = enumerated.exec(text)?.[1];
  if (list === undefined || scan.numbers.some((at) => scan.label(at) !== 'plot' && scan.number(at).unit))
    return undefined;
  if (scan.has('scratch', 'restore', 'remark', 'fix', 'error', 'need')) return undefined;
  const asked = list.split(/ ?, ?(?:and )?| and /).map((one) => topicNamed(one.replace(/^the /, '')));
  const place = placeSaid(scan);
  const outside = scan.pieces.filter((_, at) => place === undefined || at < place.from || at >= place.to);
  const rest = new Scan(outside, true);
  const places: number[] = [];
  const concepts: Concept[] = [];
  const own = scopeSaid(rest, places, concepts);
  if (own === null || asked.includes(undefined)) return undefined;
  const of = new Set(list.split(/[ ,]+/));
  const plain = outside.every(
    ({ is, light, text: word, concepts: speaks }, at) =>
      is === 'break' ||
      light ||
      places.includes(at) ||
      word.split(' ').every((one) => of.has(one)) ||
      speaks.has('ask') ||
      speaks.has('howMuch') ||
      speaks.has('howMany') ||
      speaks.has('listing') ||
      speaks.has('today') ||
      [...speaks].some((one) => concepts.includes(one)),
  );
  const scope = { ...own, ...place?.scope };
  const told = Object.keys(scope).length > 0 ? { scope } : {};
  const notes = asked.flatMap((about): Ask[] =>
    about === undefined ? [] : [{ kind: 'ask', about, ...told }],
  );
  const [first, ...others] = notes;
  const asks =
    scan.asked ||
    place !== undefined ||
    own !== undefined ||
    scan.has('ask', 'howMuch', 'howMany', 'listing');
  if (first === undefined || others.length === 0 || !plain || !asks) return undefined;
  return { notes: [first, ...others], used: everyPlace(scan), against: -0.5 };
}

const topicNamed = (words: string): QuestionTopic | undefined =>
  (Object.keys(named) as (keyof typeof named)[]).find((topic) =>
    new RegExp(`^(?:${named[topic]})$`).test(words),
  );

const placeWord = /^(?:stand|compartment|block|unit|tract|parcel|wood|woods|lot|compt|cpt)$/;
const places = /^(?:stands|compartments|blocks|units|tracts|parcels|woods|lots)$/;
const lead = /^(?:in|at|of|for|on|over|across|over in|over at|back in|from)$/;

interface Place {
  readonly scope: Scope;
  /** Each of them by itself. */
  readonly each?: true;
  readonly from: number;
  readonly to: number;
}

/** "In stand 3", "over in 14b", "for both woods": a stand that is named, and where in the stretch that is. */
function placeSaid(scan: Scan): Place | undefined {
  for (let at = 1; at < scan.pieces.length; at++) {
    const begins = (from: number): number => {
      let first = from;
      while (first > 0 && (lead.test(scan.pieces[first - 1]!.text) || scan.pieces[first - 1]!.text === 'the'))
        first--;
      return first;
    };
    const { text, is } = scan.pieces[at]!;
    const all = /^(?:both|all|every|each|two|of the)$/.test(scan.pieces[at - 1]!.text);
    const every = /^(?:(?:for|in|on) )?(?:each|every)$/.test(scan.pieces[at - 1]!.text);
    if ((places.test(text) && all) || (placeWord.test(text) && every)) {
      const from = begins(
        /^(?:both|all|two|(?:(?:for|in|on) )?(?:every|each))$/.test(scan.pieces[at - 1]!.text) ? at - 1 : at,
      );
      return { scope: { everywhere: true }, each: true, from, to: at + 1 };
    }
    const from = begins(at);
    if (from === at || scan.pieces[from]!.text === 'the') continue;
    const named = placeWord.test(text) ? at + 1 : at;
    const name = nameAt(scan, scan.pieces[named]?.text === 'number' ? named + 1 : named, named > at);
    if (name !== undefined && (named > at || is === 'number'))
      return { scope: { stratum: name.name }, from, to: name.to };
  }
  return undefined;
}

/** A number with a letter behind it, or a number behind a word for a stand: "14b", "3". */
function nameAt(
  scan: Scan,
  at: number,
  told: boolean,
): { readonly name: string; readonly to: number } | undefined {
  const { number } = scan.pieces[at] ?? {};
  const next = scan.pieces[at + 1];
  if (number === undefined || number.unit !== undefined || !Number.isInteger(number.value)) return undefined;
  if (next !== undefined && /^[a-h]$/.test(next.text))
    return { name: `${number.value} ${next.text}`, to: at + 2 };
  return told ? { name: String(number.value), to: at + 1 } : undefined;
}

/** "How much sugar maple in stand 3", "mean dbh of the sitka over in 14b", "read me the totals for both woods". */
export function ofStandDraft(scan: Scan): Draft | undefined {
  const place = scan.has(
    'ask',
    'howMany',
    'howMuch',
    'listing',
    'mean',
    'totals',
    'basalArea',
    'volume',
    'density',
  )
    ? placeSaid(scan)
    : undefined;
  if (place === undefined) return undefined;
  const rest = scan.pieces.filter((_, at) => at < place.from || at >= place.to);
  const draft = askDraft(new Scan(rest, true));
  const [asked, ...others] = draft?.notes ?? [];
  if (draft === undefined || asked?.kind !== 'ask' || others.length > 0 || draft.other !== undefined)
    return undefined;
  if (asked.scope?.stratum !== undefined || draft.unsure) return undefined;
  const unused = rest.some((piece, at) => !draft.used.has(at) && !piece.light && piece.is !== 'break');
  if (unused) return undefined;
  const by = place.each ? { by: 'stand' as const } : {};
  return {
    notes: [{ ...asked, scope: { ...asked.scope, ...place.scope }, ...by }],
    used: everyPlace(scan),
    against: -0.3,
  };
}
