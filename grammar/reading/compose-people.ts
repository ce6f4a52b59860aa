/**
 * People and what is set for them: who measures and who only helps, paces, eye heights, walks, units. A name is what was
 * written with a capital and stands for nothing else.
 */
import type { Note } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import { isName, nobody } from './said-shape.ts';
import { type Draft, everyPlace, explain, eyeLength, plainLength, type Scan, type Several } from './scan.ts';

type SettingSaid = Extract<Note, { kind: 'setting' }>['set'];
/** A setting, the numbers that tell it, and the words that go with it. */
interface SettingFound {
  readonly set: SettingSaid;
  readonly places: readonly number[];
  readonly concepts: readonly Concept[];
}

/** A pace, an eye height, a walk, units; of the person who is named before it. */
export function settingDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.species.length > 0 || scan.has('scratch')) return undefined;
  // "One sixty five, that's where my eyes are" asks nothing.
  if (scan.pieces.some(({ concepts, text }) => concepts.has('ask') && text !== 'where')) return undefined;
  const found = eyeSet(scan) ?? walkSet(scan) ?? paceSet(scan) ?? unitsSet(scan) ?? ruleSet(scan);
  if (found === undefined) return undefined;
  const set: Note = { kind: 'setting', set: found.set };
  // "Wren's pace is": whose it is.
  const owner = scan.pieces.findIndex(
    (piece, at) => isName(piece) && /^(?:'s|is)$/.test(scan.pieces[at + 1]?.text ?? ''),
  );
  const concepts: Concept[] = [...found.concepts, 'guess', 'fix', 'to'];
  // "Feet" by itself may be the end of anything.
  const [word, ...more] = scan.pieces.filter(({ is, light }) => is !== 'break' && !light);
  const led = /\b(?:in|to|use|using|please|metric|imperial)\b/.test(scan.text());
  const alone = word !== undefined && more.length === 0 && !word.text.includes(' ');
  const unsure = found.set.what === 'units' && alone && !led;
  if (owner < 0)
    return {
      notes: [set],
      used: explain(scan, found.places, concepts),
      against: 0,
      ...(unsure ? { unsure } : {}),
    };
  const name = scan.pieces[owner]!.name ?? scan.pieces[owner]!.text;
  // Of somebody else: who speaks goes on with the own ones, unless they are told to be in use now.
  const inUse = /\b(?:now|from here|from now|today|this one)\b/.test(scan.text());
  const person: Note = { kind: 'setting', set: { what: 'person', name } };
  const owned: Note =
    found.set.what === 'eye' || found.set.what === 'pace'
      ? { kind: 'setting', set: { ...found.set, whose: name } }
      : set;
  const told = ofPronoun(scan);
  if (told !== undefined && owned !== set)
    return { notes: [{ kind: 'remark', text: told }, owned], used: everyPlace(scan), against: 0.1 };
  const notes: Several = inUse || owned === set ? [person, set] : [owned];
  const used = explain(scan, [...found.places, owner], concepts);
  if (!inUse) for (const at of conditionOf(scan)) used.add(at);
  return { notes, used, against: 0 };
}

/** "Ann is on the stick, her eye is five one": what is told of Ann before it; undefined where nothing is. */
function ofPronoun(scan: Scan): string | undefined {
  const at = scan.pieces.findIndex(
    ({ text }, own) =>
      /^(?:her|his)$/.test(text) &&
      /\b(?:eyes?|paces?|steps?|strides?)\b/.test(scan.pieces[own + 1]?.text ?? ''),
  );
  const end = scan.pieces.slice(0, Math.max(0, at)).findLastIndex(({ is }) => is === 'break');
  const told = end > 1 ? scan.text(0, end) : undefined;
  return scan.numbers.every((number) => number > end) ? told : undefined;
}

/** "If she does the sighting", "when he shoots": when somebody's own is used. */
function conditionOf(scan: Scan): readonly number[] {
  const from = scan.pieces.findIndex(({ text }) => /^(?:if|when|whenever|once|for when|in case)$/.test(text));
  const told = from < 0 ? '' : scan.text(from + 1);
  return whenDoing.test(told) ? [...scan.pieces.keys()].filter((at) => at >= from) : [];
}
const whenDoing =
  /^(?:she|he|they|it is (?:her|him|them)|it 's (?:her|him)|she 's|he 's|she is|he is|her turn is|his turn is)(?: (?:does|do|doing|is|the|takes|gets|takes over|gets to|any|some|a|comes to|has to|to|her|his|turn|go|sights?|sighting|sightings|shoots?|shooting|measures?|measuring|heights?|reads?|reading|looks?|looking|calls?|calling|one|of them))*$/;

/** The only number, where no word stands near enough to say what it is of. */
const onlyNumber = (scan: Scan): number | undefined => {
  const [at, ...others] = scan.of('bare', 'distance', 'diameter');
  const walked = at !== undefined && scan.isWalked(at);
  return at !== undefined && others.length === 0 && scan.numbers.length === 1 && !walked ? at : undefined;
};

function eyeSet(scan: Scan): SettingFound | undefined {
  const [near] = scan.of('eye');
  // "One sixty five, that's where my eyes are".
  const at = near ?? (scan.has('eye') && !scan.has('pace') ? onlyNumber(scan) : undefined);
  if (at === undefined || scan.numbers.length > 1) return undefined;
  return {
    set: { what: 'eye', length: eyeLength(scan.number(at)) },
    places: [at],
    concepts: [
      'eye',
      'tall',
      'off',
      'base',
      'top',
      'here',
      'one',
      'laid',
      'slope',
      'device',
      'that',
      'person',
      'ask',
      'stand',
    ],
  };
}

/** So many paces over a known length. */
function walkSet(scan: Scan): SettingFound | undefined {
  if (scan.has('stick', 'meets', 'covers')) return undefined;
  if (scan.pieces.some(({ concepts, text }) => concepts.has('laid') && text !== 'over')) return undefined;
  const toChain = chainWalk(scan);
  if (toChain !== undefined) return toChain;
  const [walked] = scan.numbers.filter((at) => scan.isWalked(at));
  // Of one pace the length may be said in centimetres.
  const ofOne = walked !== undefined && scan.number(walked).value === 1;
  const [length] = scan
    .of('distance', 'pace', ...(ofOne ? (['diameter'] as const) : []))
    .filter((at) => at !== walked);
  if (walked === undefined || length === undefined || scan.numbers.length !== 2) return undefined;
  const { value: count, unit } = scan.number(walked);
  const known = plainLength(scan.number(length));
  if (
    known.unit === undefined ||
    (!scan.has('course') && !/\b(?:in|is|to|for|per|makes?|over|at|took|takes|equals?)\b/.test(scan.text()))
  )
    return undefined;
  return {
    set: { what: 'walk', count, of: unit === 'steps' ? 'steps' : 'paces', length: known },
    places: [walked, length],
    concepts: ['pace', 'walk', 'to', 'off', 'tape', 'calibrated', 'laid', 'here', 'course', 'has', 'that'],
  };
}

/** "My pace is thirteen to the chain". */
function chainWalk(scan: Scan): SettingFound | undefined {
  const [at, ...others] = scan.numbers;
  if (at === undefined || others.length > 0 || !scan.has('pace')) return undefined;
  const chain = scan.pieces.findIndex(({ text }) => text === 'chain');
  if (chain < 0 || !/^(?:the|per)$/.test(scan.pieces[chain - 1]?.text ?? '')) return undefined;
  const { value: count, unit } = scan.number(at);
  if (unit !== undefined && unit !== 'paces' && unit !== 'steps') return undefined;
  const of = unit === 'steps' || /step|stride/.test(scan.text()) ? 'steps' : 'paces';
  return {
    set: { what: 'walk', count, of, length: { value: 1, unit: 'chain' } },
    places: [at, chain],
    concepts: ['pace', 'walk', 'to', 'off', 'calibrated'],
  };
}

/** Metres; a longer one is walked to find it. */
const longestPace = 5;
const metresOf = ({ value, unit }: ReturnType<typeof plainLength>): number =>
  unit === undefined ? 0 : (value * inFeet[unit]) / 3.28;

const inFeet = { m: 3.28, cm: 0.0328, in: 1 / 12, ft: 1, yd: 3, chain: 66 } as const;

function paceSet(scan: Scan): SettingFound | undefined {
  const [near] = scan.of('pace');
  // "Wren's pace now, two feet".
  const at = near ?? (scan.has('pace') && !scan.has('eye', 'tree') ? onlyNumber(scan) : undefined);
  if (at === undefined || scan.numbers.length > 1) return undefined;
  if (near === undefined && (scan.number(at).unit === undefined || scan.has('off', 'tall', 'reopen')))
    return undefined;
  const length = plainLength(scan.number(at));
  // "Do my pace, fifty metres": a length to be walked.
  if (metresOf(length) > longestPace) return undefined;
  const word = scan.pieces[scan.at('pace')]!.text;
  const double = /\bdouble\b/.test(scan.text());
  const steps =
    (/step|stride/.test(word) && !double) ||
    length.value * inFeet[length.unit ?? (length.value < 45 ? 'ft' : 'cm')] < 3.6;
  return {
    set: { what: 'pace', length, ...(steps ? { of: 'steps' as const } : {}) },
    places: [at],
    concepts: ['pace', 'walk', 'to', 'one', 'slope', 'off', 'reopen', 'calibrated', 'here', 'today'],
  };
}

function unitsSet(scan: Scan): SettingFound | undefined {
  if (scan.numbers.length > 0 || scan.has('person') || scan.has('metric') === scan.has('imperial'))
    return undefined;
  return {
    set: { what: 'units', units: scan.has('metric') ? 'metres' : 'feet' },
    places: [],
    concepts: [
      'metric',
      'imperial',
      'allOf',
      'to',
      'reopen',
      'here',
      'off',
      'dbh',
      'tall',
      'girth',
      'each',
      'today',
    ],
  };
}

/** Log rules by the words for them. */
export const spokenRules = ['doyle', 'scribner', 'international'] as const;

const ruling =
  /\b(?:use|uses|using|goes (?:by|with)|(?:pays|buys|works|scales) ?(?:on|by|with)?|switch(?:ing)? to|change to)\b/;

/** "The mill goes by Doyle", "use Scribner for everything": the rule of the volumes from now on. */
function ruleSet(scan: Scan): SettingFound | undefined {
  const [rule, ...others] = spokenRules.filter((one) => scan.has(one));
  if (rule === undefined || others.length > 0 || scan.numbers.length > 0 || !ruling.test(scan.text()))
    return undefined;
  if (scan.has('not', 'no', 'ask', 'howMany', 'howMuch', 'volume', 'perAcre', 'listing')) return undefined;
  return {
    set: { what: 'logRule', rule },
    places: scan.placesOf(({ text }) => ruling.test(text)),
    concepts: [rule, 'mill', 'allOf', 'each', 'to', 'reopen', 'here', 'today', 'next', 'walk'],
  };
}

/** A name, with what stands behind it up to the next one. */
interface Named {
  readonly from: number;
  /** Exclusive. */
  readonly to: number;
  readonly name: string;
}

/** All names; a name and a surname are one. */
function namesIn(scan: Scan): Named[] {
  const names: Named[] = [];
  scan.pieces.forEach((piece, at) => {
    const { is, capital, concepts, text, light } = piece;
    if (is !== 'words' || !capital || concepts.size > 0 || nobody.test(text) || light) return;
    if (/(?:ing|ed)$/.test(text) && piece.unknown && at === 0) return;
    const last = names.at(-1);
    if (last !== undefined && last.to === at)
      names[names.length - 1] = { ...last, to: at + 1, name: `${last.name} ${piece.name ?? text}` };
    else names.push({ from: at, to: at + 1, name: piece.name ?? text });
  });
  return names;
}

const introducing =
  /(?:^| )(?:this is|it is|it 's|i am|now|name is|here is|you got|you have|over to|user is|called|by|with me|user|observer)$/;
const doing = /^(?:will|does|reads|takes|goes)$/;
const presenting = /^(?:here|on|back|again|now|speaking)$/;

/** Words of a stretch before or behind a place, up to a break. */
const before = (scan: Scan, at: number): string =>
  scan.pieces
    .slice(0, at)
    .map(({ text, is }) => (is === 'break' ? ',' : text))
    .join(' ');

/** Whether one of the concepts stands behind a name and before the next. */
const roleOf = (scan: Scan, names: readonly Named[], named: Named, concepts: readonly Concept[]): boolean => {
  const next = names.find(({ from }) => from > named.from)?.from ?? scan.pieces.length;
  return scan.pieces
    .slice(named.to, next)
    .some((piece) => concepts.some((concept) => piece.concepts.has(concept)));
};

/** The one who says what follows; undefined where nobody does. */
function speakerOf(scan: Scan, names: readonly Named[]): { named: Named; sure: boolean } | undefined {
  const [first, ...others] = names;
  if (first === undefined) return undefined;
  const booking = names.filter((named) => roleOf(scan, names, named, ['book', 'person']));
  const [booked] = new Set(booking.map(({ name }) => name));
  const booker = booking.find(({ name }) => name === booked);
  if (booker !== undefined && new Set(booking.map(({ name }) => name)).size === 1)
    return { named: booker, sure: true };
  if (names.every((named) => isHelping(scan, names, named))) return undefined;
  const introduced = names.find(({ from }) => introducing.test(before(scan, from)));
  if (introduced !== undefined) return { named: introduced, sure: true };
  const leading = scan.pieces
    .slice(0, first.from)
    .every(({ light, is, concepts }) => is === 'break' || light || concepts.has('role'));
  const behind = scan.pieces[first.to]?.text ?? '';
  if (leading && presenting.test(behind)) return { named: first, sure: true };
  if (leading && others.length === 0 && doing.test(behind) && scan.has('role', 'next'))
    return { named: first, sure: true };
  // "Wren, working alone today".
  const alone = others.length === 0 && scan.has('role') && /^[,;]$|^(?:is|'s)$/.test(behind);
  if (leading && alone && !/^(?:is|'s)$/.test(behind)) return { named: first, sure: true };
  if (others.length === 0 && scan.has('person', 'kin')) return { named: first, sure: true };
  return scan.has('person') ? { named: first, sure: false } : undefined;
}

/** "Josie's holding the stick": who helps says nothing of what follows. */
function isHelping(scan: Scan, names: readonly Named[], named: Named): boolean {
  const next = names.find(({ from }) => from > named.from)?.from ?? scan.pieces.length;
  return /^(?:'s|is|has|got|on|with|will be)? ?(?:\S+ )?(?:holding|taping|carrying|flagging|helping|along|here too|callipers|calipers|with (?:us|me)|on the (?:tape|stick|pole|prism|compass))/.test(
    scan.text(named.to, next),
  );
}

/** Whether a name is that of somebody else of the crew, not of a place. */
function isCrew(scan: Scan, names: readonly Named[], named: Named): boolean {
  const beside = scan.pieces[named.from - 1];
  return (
    beside?.text === 'with' || beside?.text === 'and' || roleOf(scan, names, named, ['role', 'tape', 'stick'])
  );
}

const personWords: readonly Concept[] = [
  'person',
  'kin',
  'book',
  'role',
  'off',
  'here',
  'again',
  'next',
  'no',
  'that',
  'one',
  'today',
  'has',
  'tape',
  'stick',
  'fix',
  'walk',
];

/** Who measures: a name that was written with a capital beside a word for it. Who helps goes into a remark. */
export function personDraft(scan: Scan): Draft | undefined {
  if (
    scan.asked ||
    scan.numbers.length > 0 ||
    scan.species.length > 0 ||
    scan.has('scratch', 'ask', 'remark', 'stand', 'plot')
  )
    return undefined;
  const names = namesIn(scan);
  const speaker = speakerOf(scan, names);
  if (speaker === undefined) return helpersDraft(scan, names);
  const { named, sure } = speaker;
  const others = names.filter(({ name }) => name !== named.name);
  if (others.length > 2 || others.some((one) => !isCrew(scan, names, one))) return undefined;
  const person: Note = { kind: 'setting', set: { what: 'person', name: named.name } };
  const crew = [...new Set(others.map(({ name }) => name))].join(' and ');
  const notes: Several = crew === '' ? [person] : [person, { kind: 'remark', text: `with ${crew}` }];
  const places = names.flatMap(({ from, to }) => Array.from({ length: to - from }, (_, i) => from + i));
  return {
    notes,
    used: explain(scan, places, personWords),
    against: 0.2,
    ...(sure ? {} : { unsure: true }),
  };
}

/** Who only helps is told of, and nobody else measures for it. */
function helpersDraft(scan: Scan, names: readonly Named[]): Draft | undefined {
  if (names.length === 0 || !names.every((named) => isHelping(scan, names, named))) return undefined;
  const used = everyPlace(scan);
  return { notes: [{ kind: 'remark', text: scan.text() }], used, against: 0.2 };
}

/** "I'm five foot six": how tall somebody is, which is no height of a tree. */
export function statureDraft(scan: Scan): Draft | undefined {
  const [at, ...others] = scan.numbers;
  if (scan.asked || at === undefined || others.length > 0 || !scan.isStature(at)) return undefined;
  const remark: Note = { kind: 'remark', text: scan.text() };
  return { notes: [remark], used: explain(scan, [at], ['tall']), against: 0 };
}
