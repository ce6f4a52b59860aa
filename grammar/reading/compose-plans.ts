/**
 * What is planned for a stand, put together from its words and numbers: how many plots ("planning eighteen points", "four
 * plots planned"), and the smallest tree that is measured ("nothing under five inches", "five inches and up").
 */
import type { Note } from '../../shared/note/note.ts';
import { sizeOf } from './compose-plot-size.ts';
import { countsPlots, pluralPlots as plural } from './counted-plots.ts';
import { type Draft, everyPlace, type Scan } from './scan.ts';

/** Somebody means to take so many. */
const planning =
  /\b(?:plan|plans|planned|planning|want|wants|wanted|wanting|aim|aiming|going for|shooting for|hoping for|target|goal|intend|intending|figure|figuring|figured|reckon|reckoning|down for|supposed to|budgeted|scheduled|call it|make it|make that|let us|we will|i will|going to|calls for|need|needs|should do|should be|instead|try for|trying for|settle for|settled on|stick to|stick with|say we do|will do|doing|(?:change|changing|changed|bump|bumping|up|upping|cut|cutting|drop|dropping|raise|raising|scale|scaling|bring|bringing|take|knock) (?:it |that |this |the plan |them )?(?:back |down |up )?to)\b/g;
const isPlanned = (said: string): boolean => said.replace(planning, '') !== said;
/** What is told of them is no plan, or is the drawing of their places. */
const noPlan =
  /\b(?:more|left|lay|laid|laying|layout|grid|each|was|were|did|have|had|has|took|taken|counted|done|finished|closed|empty|not|no|never|between|apart|random|enough|scratch|delete|which|how|what|why|by hand|every)\b/;
/** What may stand behind it or before: where, when, and nothing else. */
const around =
  /\b(?:in|for|on|here|this|that|the|stand|one|wood|woods|block|compartment|patch|piece|today|altogether|total|in all|all told|then|now|instead|of|to|so|ok|okay|well|right|and|we|i|us|am|are|is|be|it|them|do|take|put|get|run|have|about|around|say|sample|fixed|prism|gauge|a|at|up|down|new|number|with|think|let|would|like|will|out|only|just)\b/g;

/** How many plots: the number right before the word for them, or the only one beside a word for a plan. */
function planned(scan: Scan): number | undefined {
  const whole = (at: number): boolean => {
    const { value, unit, sign, letter } = scan.number(at);
    return (
      unit === undefined && sign === undefined && letter === undefined && Number.isInteger(value) && value > 0
    );
  };
  const found = scan.numbers.filter(
    (at) => whole(at) && countsPlots(scan.pieces, at) && scan.label(at) !== 'plot',
  );
  const [only, ...others] = found;
  if (only !== undefined) return others.length === 0 ? only : undefined;
  const [at, ...more] = scan.numbers;
  // "Planned plots: twelve".
  return at !== undefined &&
    more.length === 0 &&
    whole(at) &&
    /\b(?:planned|to do|to take|wanted|needed)\b/.test(scan.text(0, at))
    ? at
    : undefined;
}

const parts = {
  half: 2,
  third: 3,
  quarter: 4,
  fourth: 4,
  fifth: 5,
  tenth: 10,
  twentieth: 20,
  fiftieth: 50,
  hundredth: 100,
} as const;

/** "Eight tenth acre plots planned": so many of that size, and no eight tenths of an acre. */
function countedParts(scan: Scan): readonly Note[] | undefined {
  const [at, ...others] = scan.numbers;
  if (at === undefined || others.length > 0 || !plural.test(scan.pieces[at + 1]?.text ?? ''))
    return undefined;
  const { value, unit } = scan.number(at);
  const part = / (\w+) acre$/.exec(scan.pieces[at]!.text)?.[1] as keyof typeof parts | undefined;
  const over = part === undefined ? undefined : parts[part];
  const count = over === undefined ? 0 : Math.round(value * over);
  if (over === undefined || unit !== 'acre' || count < 2) return undefined;
  return [
    { kind: 'plot', op: 'size', size: { by: 'area', value: 1 / over, unit: 'acre' } },
    { kind: 'plot', op: 'plan', count },
  ];
}

/** "Planning 18 points here", "want eight plots in this one", "make it 20 points". */
export function planDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0 || !scan.pieces.some(({ text }) => plural.test(text)))
    return undefined;
  const [first, ...more] = isPlanned(scan.text()) ? (countedParts(scan) ?? []) : [];
  if (first !== undefined) return { notes: [first, ...more], used: everyPlace(scan), against: -0.3 };
  const at = planned(scan);
  if (at === undefined) return undefined;
  const size = scan.numbers.length > 1 ? sizeOf(scan, [at]) : undefined;
  // "Twenty points instead of eighteen".
  const instead = scan.numbers.find((one) => one !== at && one !== size?.at);
  const replaced = instead !== undefined && /(?:instead of|not) $/.test(`${scan.text(0, instead)} `);
  if (scan.numbers.length > 1 + (size ? 1 : 0) + (replaced ? 1 : 0)) return undefined;
  const others = scan.pieces.filter((_, to) => to !== at && to !== size?.at && to !== instead);
  const words = others.filter(({ is }) => is === 'words').map(({ text }) => text);
  const said = words.join(' ');
  if (noPlan.test(replaced ? said.replace(/\bnot\b/, '') : said)) return undefined;
  const rest = said
    .replace(planning, '')
    .replace(around, '')
    .split(' ')
    .filter(
      (word) =>
        word !== '' && !plural.test(word) && !/^(?:acre|factor|radius|metre|meter|foot|planned)$/.test(word),
    );
  const plan: Note = { kind: 'plot', op: 'plan', count: scan.number(at).value };
  const sized: Note | undefined = size && { kind: 'plot', op: 'size', size: size.size };
  // "Eighteen points in this stand" may also tell how many there are.
  const sure = isPlanned(said) && rest.length === 0;
  const telling = others.some(
    (piece) => piece.is !== 'words' || (rest.includes(piece.text) && !piece.unknown),
  );
  if (!sure && (scan.numbers.length > 1 || rest.length > 2 || (rest.length > 0 && telling))) return undefined;
  return {
    notes: sized === undefined ? [plan] : [sized, plan],
    used: everyPlace(scan),
    against: sure ? -0.2 : 0.2,
    ...(sure ? {} : { unsure: true }),
  };
}

const thing =
  '(?:(?:little|small|thin|skinny|tiny|wee|young) )?(?:tree|trees|stem|stems|one|ones|thing|stuff|diameter|diameters|dbh)';
const under = '(?:under|below|less than|smaller than|thinner than|littler than|lighter than|short of|shy of)';
const over =
  '(?:over|above|at least|more than|greater than|bigger than|larger than|thicker than|of at least)';
const from = `(?:${over}|from|down to|starting at|starting from|beginning at)`;
const up =
  '(?:(?:and|or) (?:on )?(?:up|upward|upwards|over|above|better|bigger|larger|thicker|more|greater)|up|upwards?|plus)';
const leaving =
  '(?:skip|skipping|ignore|ignoring|leave out|leaving out|leave|drop|pass over|passing over|forget|forget about|never mind|disregard|pass on|passing on)';
const dealing =
  '(?:measure|measuring|bother|bother with|bothering with|take|taking|tape|taping|count|counting|record|recording|tally|tallying|book|booking|write down|log|want|do|doing|call|calling|include|including)';
const notDealing = `(?:do not|not|never|no need to|will not|am not|are not|is not) (?:be )?(?:${dealing} )?`;
const anything = `(?:anything|everything|any ${thing}|all|${thing}|those|the ${thing}|what is|whatever is)(?: that is| that are)?`;
const all = `(?:everything|anything|all ${thing}|every ${thing}|${thing}|only|just|them|all)(?: that is| that are| ${thing})?`;
const leftOut =
  '(?:skip|skipped|ignore|ignored|leave out|leave|left out|left|out|(?:do|does) not count|not (?:to be )?(?:measured|counted|taken|taped))';
/** "Smallest" alone tells of a tree that was seen. */
const limit =
  '(?:(?:minimum|min|lower limit|lower bound|lower|threshold|cut ?off|bottom|starting)(?: (?:size|diameter|dbh|limit|tree|trees))?|(?:smallest|least|lowest) (?:size|diameter|dbh|(?:tree|one) (?:to measure|to take|we (?:measure|take)|i (?:measure|take)))|(?:diameter|dbh|size) limit)';

interface Saying {
  readonly told: RegExp;
  /** Without a unit the number may be a distance, or so many. */
  readonly needsUnit?: true;
}

/** `#` is the size. */
const sayings: readonly Saying[] = [
  { told: new RegExp(`\\b(?:nothing|none|no ${thing}|not anything) (?:that is |that are )?${under} #`) },
  { told: new RegExp(`\\b(?:${leaving}|${notDealing}) ?${anything} ${under} #`) },
  {
    told: new RegExp(`\\b${anything} ${under} # (?:we |i |gets? |is |are |to be |will )*${leftOut}`),
  },
  { told: new RegExp(`\\b${all} (?:${from} )?#(?: ${thing})? ${up}`) },
  {
    told: new RegExp(
      `\\b(?:everything|anything|only|just)(?: ${dealing})?(?: (?:the|all|every|any))?(?: ${thing})? ${over} #`,
    ),
  },
  {
    told: new RegExp(
      `\\b(?:measure|measuring|take|taking|tape|taping|record|recording|book|booking)(?: (?:the|all|every|any|only|just))?(?: everything| anything| ${thing})? ${over} #`,
    ),
  },
  { told: new RegExp(`\\b${dealing} (?:${from} )?#(?: ${thing})? ${up}`), needsUnit: true },
  {
    told: new RegExp(`\\b${dealing}(?: (?:them|trees|all|everything))? (?:down to|from) #`),
    needsUnit: true,
  },
  {
    told: new RegExp(`^(?:from |at )?#(?: ${thing})? ${up}(?: only| counts?| is (?:measured|taken|in))?$`),
    needsUnit: true,
  },
  {
    told: new RegExp(
      `\\b${thing} (?:have to be|has to be|must be|need to be|should be|are to be) (?:at least|over|above|more than) #`,
    ),
  },
  { told: /\b(?:start|starting|begin|beginning) (?:at|from|with) #/, needsUnit: true },
  { told: new RegExp(`\\b${limit}(?: measured)?(?:'s| is| of| at| will be| goes to|:|,)* #`) },
  { told: new RegExp(`(?:^| )# (?:is |as )?(?:the |our |my |a )?${limit}\\b`) },
];
/** "Measure every tree", "no minimum any more": the limit is lifted. */
const lifted =
  /^(?:(?:ok|okay|now|from here on|so|right) )*(?:(?:no|drop the|forget the|lift the) (?:minimum|minimum diameter|smallest size|cut ?off|size limit|lower limit|minimum size)(?: (?:now|here|any ?more|from here on))*|(?:measure|measuring|take|taking) (?:everything|every tree|all trees|all sizes)(?: (?:now|here|from here on|whatever (?:its|the|their) size|of any size))*)$/;

/** "Nothing under five inches", "everything seven centimetres and up", "smallest diameter five". */
export function leastDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0 || (scan.has('scratch') && scan.numbers.length === 0))
    return undefined;
  if (lifted.test(scan.text()))
    return { notes: [{ kind: 'plot', op: 'least' }], used: everyPlace(scan), against: -0.2 };
  const [at, ...others] = scan.numbers;
  if (at === undefined || others.length > 0) return undefined;
  const { value, unit, sign } = scan.number(at);
  if (sign !== undefined || (unit !== undefined && unit !== 'in' && unit !== 'cm') || !(value > 0))
    return undefined;
  const text = `${scan.text(0, at)} # ${scan.text(at + 1)}`.replaceAll(' ,', ',').replace(/\s+/g, ' ').trim();
  const found = sayings
    .filter(({ needsUnit }) => unit !== undefined || needsUnit !== true)
    .map(({ told }) => told.exec(text)?.[0])
    .find((one) => one !== undefined);
  if (found === undefined) return undefined;
  const rest = text
    .replace(found, ' ')
    .split(/[\s,:]+/)
    .filter((word) => word !== '' && !besideLimit.test(word));
  // "Nothing under five inches in here" may only tell what grows there.
  const seen =
    /^(?:nothing|none|no )/.test(found) && /\b(?:here|there|plot|point|circle|this one)\b/.test(text);
  if (rest.length > 0) return undefined;
  return {
    notes: [{ kind: 'plot', op: 'least', diameter: { value, ...(unit === undefined ? {} : { unit }) } }],
    used: everyPlace(scan),
    against: -0.2,
    ...(seen ? { unsure: true } : {}),
  };
}

/** Words beside a limit that say nothing else. */
const besideLimit =
  /^(?:we|i|us|you|am|are|is|be|it|the|a|an|to|of|on|in|at|from|for|and|so|ok|okay|now|here|this|that|stand|today|then|please|will|let|do|just|only|with|them|get|goes?|going|measure|measuring|take|taking|count|counting|tape|diameter|diameters|dbh|breast|height|size|sizes|trees?|stems?|again|right|well|job|one|want|need|tally|there|plot|point|circle|through|across|thick|only)$/;
