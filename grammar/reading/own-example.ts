/**
 * The nearest whole example of what somebody wanted to say, with the person's own numbers and names in it. What is wanted
 * is told by the words of the lexicon: of change, of asking, of plots, of settings, of trees. Every example can be said.
 */
import type { Concept } from '../description/other-words/concepts.ts';
import type { Reader } from './exact.ts';
import type { SaidPiece } from './pieces.ts';
import type { Label, Scan } from './scan.ts';

/** Examples of one kind, the nearest first; none where the words are not of that kind. */
type Family = (scan: Scan) => readonly string[];

const textOf = (scan: Scan, at: number | undefined): string =>
  at === undefined ? '' : scan.pieces[at]!.text;
const nameOf = (scan: Scan): string => textOf(scan, scan.species[0]);
const firstOf = (scan: Scan, test: (piece: SaidPiece) => boolean): string =>
  textOf(scan, scan.placesOf(test)[0]);

/** A name of a person or a place: written with a capital and known as nothing else. */
const properName = (scan: Scan): string =>
  firstOf(scan, ({ is, capital, unknown }) => is === 'words' && capital && unknown);

/** The tree that is meant, by its number or its kind. */
function treeNamed(scan: Scan): string {
  const [numbered] = scan.of('tree');
  if (numbered !== undefined) return `tree ${textOf(scan, numbered)}`;
  return nameOf(scan) === '' ? '' : `the ${nameOf(scan)}`;
}

const plotNamed = (scan: Scan): string => {
  const [at] = scan.of('plot');
  return at === undefined ? '' : `plot ${textOf(scan, at)}`;
};

const partWords: readonly (readonly [Concept, string])[] = [
  ['tall', 'height'],
  ['dbh', 'diameter'],
  ['log', 'logs'],
  ['remark', 'remark'],
];
const partOf = (scan: Scan): string => partWords.find(([concept]) => scan.has(concept))?.[1] ?? '';

const takingBack: Family = (scan) => {
  if (!scan.has('scratch')) return [];
  return [
    plotNamed(scan) === '' ? '' : `delete ${plotNamed(scan)}`,
    treeNamed(scan) === '' ? '' : `delete ${treeNamed(scan)}`,
    treeNamed(scan) === '' ? '' : `scratch ${treeNamed(scan)}`,
    partOf(scan) === '' ? '' : `scratch the ${partOf(scan)}`,
    'scratch that',
  ];
};

const puttingBack: Family = (scan) => {
  if (!scan.has('restore')) return [];
  return [treeNamed(scan) === '' ? '' : `restore ${treeNamed(scan)}`, 'put it back'];
};

const quantities: readonly (readonly [Concept, string])[] = [
  ['basalArea', 'basal area'],
  ['volume', 'volume'],
  ['density', 'trees per acre'],
  ['cords', 'cords'],
  ['cubic', 'cubic volume'],
  ['biomass', 'biomass'],
  ['carbon', 'carbon'],
  ['error', 'sampling error'],
  ['spread', 'spread'],
  ['tallest', 'tallest tree'],
  ['thickest', 'thickest tree'],
  ['shortest', 'shortest tree'],
  ['thinnest', 'thinnest tree'],
  ['need', 'how many more plots'],
  ['doubts', 'any doubts'],
  ['sure', 'how sure are you'],
  ['why', 'why'],
];

const asking: Family = (scan) => {
  const told = scan.has('no', 'fix', 'remark');
  if (!scan.asked && (told || !scan.has('ask', 'howMany', 'howMuch'))) return [];
  const amount = quantities.find(([concept]) => scan.has(concept))?.[1];
  const mean = scan.has('mean')
    ? scan.has('dbh')
      ? 'mean diameter'
      : scan.has('tall')
        ? 'mean height'
        : ''
    : '';
  const name = nameOf(scan);
  const of = name === '' ? '' : ` of ${name}`;
  return [
    mean === '' ? '' : `${mean}${of}`,
    amount === undefined ? '' : `${amount}${of}`,
    amount ?? '',
    scan.has('howMany') && plotNamed(scan) !== '' ? `how many trees on ${plotNamed(scan)}` : '',
    scan.has('howMany') ? (name === '' ? 'how many trees' : `how many ${name}`) : '',
    treeNamed(scan) === '' ? '' : `what was ${treeNamed(scan)}`,
    plotNamed(scan) === '' ? '' : `list the trees on ${plotNamed(scan)}`,
    scan.has('plot', 'here') ? 'this plot' : '',
    scan.has('tall') ? 'how tall was that' : '',
    scan.has('tree') ? 'list the trees' : '',
    scan.asked ? 'totals' : '',
  ];
};

const correcting: Family = (scan) => {
  if (!scan.has('no', 'fix', 'not')) return [];
  const [number] = scan.numbers;
  const name = nameOf(scan);
  const [size] = scan.of('diameter', 'bare');
  return [
    name !== '' && number === undefined ? `that was ${name}` : '',
    name !== '' && size !== undefined ? `change the ${name} to ${textOf(scan, size)}` : '',
    number === undefined ? '' : `no, ${textOf(scan, number)}`,
    'scratch that',
  ];
};

/** The size of a plot as it was said. */
function sizeSaid(scan: Scan): string {
  const [radius, factor, area] = [scan.of('radius'), scan.of('factor'), scan.of('area')].map(([at]) => at);
  if (radius !== undefined) return `radius ${textOf(scan, radius)}`;
  if (factor !== undefined) return `factor ${textOf(scan, factor)}`;
  return textOf(scan, area);
}

const ofPlots: Family = (scan) => {
  if (!scan.has('plot', 'open', 'close', 'nextPlot', 'reopen', 'empty', 'radius', 'factor')) return [];
  if (scan.species.length > 0) return [];
  const plot = plotNamed(scan);
  const size = sizeSaid(scan);
  if (plot === '')
    return [
      size === '' ? '' : `new plot, ${size}`,
      scan.has('close') ? 'close plot' : '',
      scan.numbers.length === 0 && !scan.has('radius', 'factor') ? 'next plot' : '',
    ];
  return [
    size === '' ? '' : `${plot}, ${size}`,
    scan.has('close') ? `close ${plot}` : '',
    scan.has('empty') ? `${plot}, no trees` : '',
    scan.has('reopen') ? `reopen ${plot}` : '',
    `${plot}, fifth acre`,
    plot,
  ];
};

const settings: Family = (scan) => {
  const [eye] = scan.of('eye');
  const [pace] = scan.of('pace');
  const [length] = scan.of('distance');
  const [paces] = scan.numbers.filter((at) => scan.isWalked(at));
  const name = properName(scan);
  return [
    eye === undefined || scan.numbers.length > 1 ? '' : `eye height ${textOf(scan, eye)}`,
    pace === undefined || scan.numbers.length > 1 ? '' : `my pace is ${textOf(scan, pace)}`,
    scan.has('pace') && paces !== undefined && length !== undefined && scan.species.length === 0
      ? `${textOf(scan, paces)} in ${textOf(scan, length)}`
      : '',
    scan.has('stand') && name !== '' && scan.numbers.length === 0 ? `stand ${name}` : '',
    name !== '' && scan.numbers.length === 0 && scan.species.length === 0 && scan.pieces.length < 7
      ? `crew ${name}`
      : '',
  ];
};

/** Ways to measure: beside them a name is seldom what is told. */
const ways: readonly Concept[] = [
  'shadow',
  'pole',
  'stick',
  'angle',
  'factor',
  'radius',
  'eye',
  'slope',
  'lean',
];

/** Numbers behind the first name, up to the next. */
function behindName(scan: Scan): (...labels: readonly Label[]) => number | undefined {
  const [name = 0, next = scan.pieces.length] = scan.species;
  return (...labels) => scan.of(...labels).find((at) => at > name && at < next);
}

const ofTrees: Family = (scan) => {
  const name = nameOf(scan);
  // "The shadow of it was quite long" is of no tree.
  if (name === '' || (scan.numbers.length === 0 && scan.has(...ways))) return [];
  const first = behindName(scan);
  const size = first('diameter', 'bare');
  const girth = first('girth');
  const height = first('height');
  const logs = first('logs');
  const far = first('distance');
  const paces = far !== undefined && scan.isWalked(far);
  const thick =
    girth !== undefined ? `girth ${textOf(scan, girth)}` : size !== undefined ? textOf(scan, size) : '';
  const high =
    height !== undefined
      ? `height ${textOf(scan, height)}`
      : far === undefined || !(paces || scan.has('tall', 'estimate'))
        ? ''
        : paces
          ? textOf(scan, far)
          : `height ${textOf(scan, far)}`;
  const parts = [name, thick, textOf(scan, logs), scan.has('dead') ? 'dead' : '', high];
  const plain = [name, thick].filter((part) => part !== '').join(', ');
  return [parts.filter((part) => part !== '').join(', '), plain, `${name}, fourteen inches`];
};

const methods: readonly (readonly [Concept, (scan: Scan) => readonly string[]])[] = [
  ['device', (scan) => [`height ${scan.numbers.map((at) => textOf(scan, at)).join(', ')}`]],
  ['tall', (scan) => [`height ${textOf(scan, scan.of('height', 'distance', 'bare')[0])}`]],
];

const ofHeights: Family = (scan) => {
  if (scan.numbers.length === 0) return [];
  const sayings = methods.filter(([concept]) => scan.has(concept)).flatMap(([, say]) => say(scan));
  const [paces] = scan.numbers.filter((at) => scan.number(at).unit === 'paces');
  return [
    ...(scan.numbers.length === 1 ? sayings : []),
    paces !== undefined && scan.numbers.length === 1 && !scan.has(...ways) ? textOf(scan, paces) : '',
  ];
};

/** What is of no kind and has nothing to count in it can be written down as it is. */
const asItIs: Family = (scan) => {
  const words = scan.pieces.filter(({ is }) => is === 'words');
  const plain = words.filter(({ unknown, light, concepts }) => unknown || light || concepts.size === 0);
  const enough = words.length >= 3 && words.some(({ unknown }) => unknown);
  return enough && plain.length >= words.length - 1 && scan.pieces.length < 16
    ? [`remark ${scan.text()}`]
    : [];
};

/** What is wanted most clearly stands first. */
const families: readonly Family[] = [
  takingBack,
  puttingBack,
  asking,
  ofTrees,
  ofPlots,
  settings,
  correcting,
  ofHeights,
  asItIs,
];

/** A whole sentence with the person's own numbers and names; undefined where no kind fits. */
export function ownExample(scan: Scan, reader: Reader): string | undefined {
  for (const family of families)
    for (const words of family(scan)) {
      const plain = words.replace(/ +/g, ' ').trim();
      if (plain !== '' && reader.read(plain).ok) return plain;
    }
  return undefined;
}
