/**
 * Questions about what is in the book and who put it there, and what only narrows the question before: "which stand am I on",
 * "which plots were empty", "read back the last eight", "who measured tree three", "trees between 10 and 14 inches", "just oak".
 */
import type { NoteOf, Scope } from '../../shared/note/note.ts';
import type { Breakdown } from '../../shared/note/question-topics.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { scopeSaid } from './compose-asking.ts';
import { bareTarget } from './compose-looking.ts';
import { targetOf } from './compose-targets.ts';
import { type Draft, everyPlace, type Scan } from './scan.ts';

type Ask = NoteOf<'ask'>;
type Drafter = (scan: Scan) => Ask | undefined;

/** One question of these kinds, where every word of it has its place. */
export function bookAskedDraft(scan: Scan): Draft | undefined {
  if (scan.has('scratch', 'restore', 'person', 'helpAsked', 'shadow', 'pole', 'stick')) return undefined;
  for (const drafter of drafters) {
    const note = drafter(scan);
    if (note !== undefined) return { notes: [note], used: everyPlace(scan), against: -0.1 };
  }
  return undefined;
}

/** Only words that say one of these, and small ones; `extra`: others that belong to the question. */
const onlyOf = (scan: Scan, concepts: readonly Concept[], extra = /^$/): boolean =>
  scan.pieces.every(
    (piece) =>
      piece.light ||
      piece.is !== 'words' ||
      extra.test(piece.text) ||
      [...piece.concepts].some((one) => concepts.includes(one)),
  );
const isBare = (scan: Scan): boolean => scan.numbers.length === 0 && scan.species.length === 0;
const asks = (scan: Scan): boolean => scan.has('ask', 'listing') || scan.asked || /^list\b/.test(scan.text());
const plural = /\b(?:plots|points|stops|stations|samples|circles|quadrats)\b/;

/** "Which stand am I on", "where are we". */
const placeAsked: Drafter = (scan) => {
  const text = scan.text();
  if (!isBare(scan)) return undefined;
  const where = /^(?:so |and |now )*where (?:am i|are we)(?: now| again| at)*$/.test(text);
  const named =
    scan.has('stand', 'stratum') &&
    scan.has('ask') &&
    /\b(?:am i|are we|is this|is it|we are|i am|are you)\b/.test(text) &&
    /\b(?:which|what)\b/.test(text) &&
    onlyOf(scan, ['stand', 'stratum', 'ask', 'here', 'in', 'that', 'open', 'off']);
  return where || named ? { kind: 'ask', about: 'place' } : undefined;
};

/** "Which plots were empty", "any empty plots". */
const emptyAsked: Drafter = (scan) => {
  const fits =
    isBare(scan) &&
    asks(scan) &&
    scan.has('empty') &&
    plural.test(scan.text()) &&
    onlyOf(scan, [
      'plot',
      'empty',
      'ask',
      'listing',
      'howMany',
      'has',
      'that',
      'close',
      'totals',
      'here',
      'today',
    ]);
  return fits ? { kind: 'ask', about: 'emptyPlots' } : undefined;
};

/** "List the plots", "what plots have I done". */
const plotsListed: Drafter = (scan) => {
  const text = scan.text();
  const listing =
    scan.has('listing') || /\blist\b/.test(text) || /\b(?:what|which) (?:plots|points|stops)\b/.test(text);
  const fits =
    isBare(scan) &&
    listing &&
    plural.test(text) &&
    !scan.has('need', 'close', 'howMany', 'by') &&
    onlyOf(
      scan,
      ['plot', 'listing', 'ask', 'allOf', 'that', 'has', 'each', 'totals', 'here', 'to', 'walk', 'goes'],
      /^(?:list|done)$/,
    );
  return fits ? { kind: 'ask', about: 'plotList' } : undefined;
};

const remarkWord = /^(?:remarks?|notes?|comments?)$/;

/** "Read me the remarks", "what notes are on tree three". */
const remarksAsked: Drafter = (scan) => {
  const noted = scan.pieces.some(({ text }) => remarkWord.test(text));
  if (!noted || !asks(scan) || scan.has('lastNotes')) return undefined;
  const single = scan.pieces.some(({ text }) => /^(?:remark|note|comment)$/.test(text));
  // "Note, what a tree": a word of asking leads.
  const led =
    scan.asked ||
    /^(?:(?:can|could|would) you |please |and |so )*(?:what|which|any|list|read|tell|show|give|are there|is there|did|do|have|repeat|go|run|say)\b/.test(
      scan.text(),
    );
  if (!led) return undefined;
  const note: Ask = { kind: 'ask', about: 'remarks' };
  const used: number[] = [];
  const target = targetOf(scan) ?? bareTarget(scan);
  if (target?.tree !== undefined) note.tree = target.tree;
  else if (target?.which !== undefined) note.which = target.which;
  used.push(...(target?.used ?? []));
  const [plot] = scan.of('plot');
  if (plot !== undefined) note.scope = { plot: scan.number(plot).value };
  else if (scan.isThisPlot() || /\bhere\b/.test(scan.text())) note.scope = { plot: 'this' };
  if (plot !== undefined) used.push(plot);
  const last = lastCount(scan, used);
  if (last !== undefined) note.count = last;
  else if (single && scan.has('last')) note.count = 1;
  if (scan.numbers.some((at) => !used.includes(at)) || scan.species.some((at) => !used.includes(at)))
    return undefined;
  return onlyOf(
    scan,
    [
      'ask',
      'listing',
      'has',
      'that',
      'allOf',
      'plot',
      'here',
      'tree',
      'last',
      'to',
      'again',
      'remark',
      'totals',
    ],
    /^(?:remarks?|notes?|comments?|'s|write|wrote|written|made|put|jotted)$/,
  )
    ? note
    : undefined;
};

/** "The last eight": so many; its place is added to those that are used. */
function lastCount(scan: Scan, used: number[]): number | undefined {
  const at = scan.numbers.find((one) => scan.before(one, /^(?:last|past|latest)$/));
  if (at === undefined || used.includes(at)) return undefined;
  const { value, unit } = scan.number(at);
  if (unit !== undefined || !Number.isInteger(value) || value < 1 || value > mostRead) return undefined;
  used.push(at);
  return value;
}
const mostRead = 99;

/** "Read back the last eight", "the last 20 trees again". */
const lastRead: Drafter = (scan) => {
  const used: number[] = [];
  const count = lastCount(scan, used);
  const reads =
    scan.has('listing') || /\b(?:read|repeat|hear|list|what were|what was|again)\b/.test(scan.text());
  if (count === undefined || !reads || scan.numbers.length > 1 || scan.species.length > 0) return undefined;
  const trees = /\b(?:trees|stems)\b/.test(scan.text());
  return onlyOf(
    scan,
    ['listing', 'ask', 'last', 'tree', 'that', 'has', 'one', 'lastNotes', 'again', 'to', 'angle'],
    /^(?:entries|things|read|hear|repeat|lines|items|notes)$/,
  )
    ? { kind: 'ask', about: trees ? 'list' : 'lastNotes', count }
    : undefined;
};

/** "Who measured tree three", "who did plot two". */
const whoAsked: Drafter = (scan) => {
  const text = scan.text();
  if (!/^(?:so |and )*(?:who|whose)\b/.test(text)) return undefined;
  const did =
    /\b(?:measured|measure|did|does|took|taped|shot|told|recorded|put|logged|called|booked|has|paced|whose|is|was)\b/;
  if (!did.test(text)) return undefined;
  const [plot] = scan.of('plot');
  if (plot !== undefined && scan.numbers.length === 1 && scan.species.length === 0)
    return { kind: 'ask', about: 'whoMeasured', scope: { plot: scan.number(plot).value } };
  const target = targetOf(scan) ?? bareTarget(scan);
  if (target === undefined) {
    const this_ = isBare(scan) && /\b(?:this|that|the|last) (?:tree|one|plot)\b/.exec(text)?.[0];
    if (!this_) return undefined;
    return /plot/.test(this_)
      ? { kind: 'ask', about: 'whoMeasured', scope: { plot: 'this' } }
      : { kind: 'ask', about: 'whoMeasured' };
  }
  if ([...scan.numbers, ...scan.species].some((at) => !target.used.includes(at))) return undefined;
  return target.tree === undefined
    ? { kind: 'ask', about: 'whoMeasured', which: target.which! }
    : { kind: 'ask', about: 'whoMeasured', tree: target.tree };
};

const most = /\b(?:best|most|highest|heaviest|densest|richest|fullest|biggest|greatest|thickest|top)\b/;
const leastOf = /\b(?:worst|least|fewest|lowest|poorest|thinnest|smallest|lightest)\b/;
const ofPlots: readonly (readonly [Concept, NonNullable<Ask['of']>])[] = [
  ['volume', 'volumePerAcre'],
  ['basalArea', 'basalArea'],
  ['density', 'density'],
  ['tree', 'trees'],
];

/** "Which plot was the best", "which plot has the most trees". */
const bestAsked: Drafter = (scan) => {
  const text = scan.text();
  if (
    !isBare(scan) ||
    !/\b(?:which|what)(?: of the| of my| one of the)? (?:plots?|points?|stops?)\b/.test(text)
  )
    return undefined;
  const least = leastOf.test(text);
  if (!least && !most.test(text)) return undefined;
  const of = ofPlots.find(([concept]) => scan.has(concept))?.[1];
  const fits = onlyOf(
    scan,
    [
      'plot',
      'ask',
      'has',
      'volume',
      'basalArea',
      'density',
      'tree',
      'in',
      'that',
      'here',
      'thickest',
      'thinnest',
      'tallest',
      'top',
    ],
    new RegExp(`^(?:${most.source}|${leastOf.source}|one|wood|stuff|far|so far)`),
  );
  if (!fits) return undefined;
  return {
    kind: 'ask',
    about: 'bestPlot',
    ...(of === undefined ? {} : { of }),
    ...(least ? { first: 'shortest' as const } : {}),
  };
};

/** "Trees between 10 and 14 inches", "how many between 60 and 80 feet tall". */
const betweenAsked: Drafter = (scan) => {
  const sized = scan.numbers.filter((at) => scan.label(at) !== 'plot');
  const [low, high, ...more] = sized;
  if (low === undefined || high === undefined || more.length > 0) return undefined;
  const lead = scan.before(low, /^(?:between|from)$/);
  if (
    !lead ||
    !/^(?:,|and|to|,? ?and)$/.test(
      scan
        .text(low + 1, high)
        .trim()
        .replace(/^, /, ''),
    )
  )
    return undefined;
  const many = scan.species.some((at) => scan.pieces[at]!.many === true);
  if (!asks(scan) && !scan.has('howMany', 'tree') && !many) return undefined;
  const unit = scan.number(high).unit ?? scan.number(low).unit;
  const plain = unit === 'in' || unit === 'cm' || unit === 'ft' || unit === 'm' ? unit : undefined;
  if ((unit !== undefined && plain === undefined) || scan.number(low).sign !== undefined) return undefined;
  const [value, to] = [scan.number(low).value, scan.number(high).value];
  if (to <= value) return undefined;
  const tall = scan.has('tall') || plain === 'm' || (plain === 'ft' && to > 8);
  const scope: Scope = {
    size: {
      of: tall && plain !== 'in' && plain !== 'cm' ? 'height' : 'diameter',
      is: 'between',
      value,
      to,
      ...(plain === undefined ? {} : { unit: plain }),
    },
  };
  const [species, ...others] = scan.species;
  if (others.length > 0) return undefined;
  if (species !== undefined) scope.species = scan.name(species);
  const [plot] = scan.of('plot');
  if (plot !== undefined) scope.plot = scan.number(plot).value;
  else if (scan.isThisPlot()) scope.plot = 'this';
  if (
    !onlyOf(
      scan,
      [
        'howMany',
        'tree',
        'ask',
        'listing',
        'compare',
        'tall',
        'dbh',
        'that',
        'has',
        'plot',
        'here',
        'off',
        'allOf',
        'in',
        'one',
        'each',
      ],
      /^(?:between|from|to)$/,
    )
  )
    return undefined;
  return { kind: 'ask', about: scan.has('howMany') ? 'trees' : 'list', scope };
};

/** "How many forked trees", "which ones are hollow". */
const markedAsked: Drafter = (scan) => {
  const [mark, ...others] = scan.placesOf(({ is }) => is === 'mark');
  if (mark === undefined || others.length > 0 || (!scan.has('howMany') && !asks(scan))) return undefined;
  if (scan.has('not', 'no')) return undefined;
  const [species, ...more] = scan.species;
  const [plot] = scan.of('plot');
  if (more.length > 0 || scan.numbers.some((at) => at !== plot)) return undefined;
  const many = scan.has('howMany') || /\b(?:which|what|any|list|ones|trees)\b/.test(scan.text());
  // "Is it hollow" is asked of one tree.
  if (!many || /\b(?:is|was) (?:it|this|that|the)\b/.test(scan.text())) return undefined;
  const scope: Scope = { mark: scan.pieces[mark]!.mark! };
  if (species !== undefined) scope.species = scan.name(species);
  if (plot !== undefined) scope.plot = scan.number(plot).value;
  else if (scan.isThisPlot() || /\bhere\b/.test(scan.text())) scope.plot = 'this';
  return onlyOf(scan, [
    'howMany',
    'ask',
    'listing',
    'tree',
    'one',
    'here',
    'plot',
    'that',
    'has',
    'ofThem',
    'totals',
    'in',
  ])
    ? { kind: 'ask', about: scan.has('howMany') ? 'trees' : 'list', scope }
    : undefined;
};

const near =
  /\b(?:near|nearly|close to|almost|at|up to|past|over|reached|reach|hit|got|have|done|there|made|anywhere near)\b/;

/** "Are we near forty trees", "have we got forty yet". */
const nearAsked: Drafter = (scan) => {
  const [at, ...more] = scan.numbers;
  const text = scan.text();
  if (at === undefined || more.length > 0 || scan.species.length > 0) return undefined;
  const { value, unit, sign } = scan.number(at);
  if (unit !== undefined || sign !== undefined || !Number.isInteger(value) || value < 2) return undefined;
  if (
    !/^(?:so |and |ok )*(?:are|have|did|do) (?:we|i|they|you)\b/.test(text) ||
    !near.test(text.slice(0, text.length))
  )
    return undefined;
  const of = scan.pieces[at + 1]?.text ?? '';
  const plots = /^(?:plots|points|stops)$/.test(of);
  if (!plots && !/^(?:|trees|stems|yet|now|,|in|already)$/.test(of)) return undefined;
  return onlyOf(
    scan,
    ['ask', 'tree', 'plot', 'has', 'over', 'to', 'totals', 'off', 'that', 'here', 'not'],
    /^(?:yet|near|close|past|reached|reach|hit|anywhere|done)$/,
  )
    ? { kind: 'ask', about: plots ? 'plots' : 'trees', count: value }
    : undefined;
};

const breakdowns: readonly (readonly [RegExp, Breakdown])[] = [
  [/^(?:plots?|points?|stops?)$/, 'plot'],
  [/^(?:species|kinds?|sorts?)$/, 'species'],
  [/^(?:strat\w*)$/, 'stratum'],
  [/^(?:persons?|cruisers?|people|crew)$/, 'person'],
  [/^days?$/, 'day'],
];

/** "Just oak", "per plot", "only plot two": the question before, narrowed or broken down. */
const followed: Drafter = (scan) => {
  const text = scan.text();
  const per =
    /^(?:and |ok |now |just |same |that )*(?:per|for each|in each|on each|each|by each|broken down by|split by) (\S+)$/.exec(
      text,
    );
  const by = per === null ? undefined : breakdowns.find(([word]) => word.test(per[1] ?? ''))?.[1];
  if (by !== undefined && isBare(scan)) return { kind: 'ask', about: 'followUp', by };
  if (
    !/^(?:and |ok |now |no |, )*(?:just|only|what about just|and just|just for|only for|same for)\b/.test(
      text,
    )
  )
    return undefined;
  // "Just me today" tells who is there.
  if (/\b(?:me|us|i|we|myself|him|her|them)\b/.test(text)) return undefined;
  const places: number[] = [];
  const concepts: Concept[] = [];
  const scope = scopeSaid(scan, places, concepts);
  if (scope === null || scope === undefined) return undefined;
  if ([...scan.numbers, ...scan.species].some((at) => !places.includes(at))) return undefined;
  const left = scan.pieces.some(
    (piece, at) =>
      piece.is === 'words' &&
      !piece.light &&
      !places.includes(at) &&
      !/^(?:just|only)$/.test(piece.text) &&
      ![...piece.concepts].some((one) => concepts.includes(one) || one === 'plot' || one === 'again'),
  );
  return left ? undefined : { kind: 'ask', about: 'followUp', scope };
};

const drafters: readonly Drafter[] = [
  placeAsked,
  emptyAsked,
  plotsListed,
  remarksAsked,
  lastRead,
  whoAsked,
  bestAsked,
  betweenAsked,
  markedAsked,
  nearAsked,
  followed,
];
