/** Words for notes that only typing can tell: no pattern of the description says them, so the ear needs no arcs for them. */
import { unitTable } from '../../shared/core/units.ts';
import type { Note, NoteOf, Which } from '../../shared/note/note.ts';
import type { Angle } from '../../shared/note/quantities.ts';
import type { SettingSaid } from '../../shared/note/settings.ts';

type Speak = (note: Note) => string | undefined;

/** The words, or undefined where it is no such note. `speak` says those that have a pattern. */
export function speakOnlyTyped(note: Note, speak: Speak): string | undefined {
  switch (note.kind) {
    case 'plot':
      return plotWords(note, speak);
    case 'stand':
      return note.back || note.done ? standWords(note, speak) : undefined;
    case 'scratch':
      return scratchWords(note, speak);
    case 'height': {
      const height = note.of === undefined ? undefined : speak({ kind: 'height', height: note.height });
      return height === undefined ? undefined : `this one, ${height}`;
    }
    case 'hand':
      return note.which === undefined || !isOnlyTyped(note.which)
        ? undefined
        : `for ${kindWords(note.which, undefined, speak)}`;
    case 'restore':
      if (note.count !== undefined) return `restore the last ${spokenNumber(note.count, speak)}`;
      return note.of === undefined ? undefined : `put back ${kindWords(note.of, undefined, speak)}`;
    case 'again':
      return sameButWords(note, speak);
    case 'control':
      return controls[note.op];
    case 'setting':
      return settingWords(note.set, speak);
    case 'tree':
      return factWords(note, speak) ?? tallyWords(note, speak);
    case 'change':
      return note.part === undefined
        ? (pointingWords(note, speak) ?? factWords(note, speak))
        : partWords(note, note.part, speak);
    default:
      return undefined;
  }
}

const controls: Readonly<Partial<Record<NoteOf<'control'>['op'], string>>> = {
  short: 'short answers',
  full: 'whole answers',
  pause: 'a break',
  resume: 'back on',
};

/** "Ann's eye height five foot two". */
function settingWords(set: SettingSaid, speak: Speak): string | undefined {
  if (set.what === 'walk') return walkWords(set, speak);
  if ((set.what !== 'eye' && set.what !== 'pace') || set.whose === undefined) return undefined;
  const { whose, ...own } = set;
  return `${whose}'s ${speak({ kind: 'setting', set: own }) ?? set.what}`;
}

/** "Forty one paces once more", "one hundred feet to be walked". */
function walkWords({ count, of = 'paces', length }: SettingSaid<'walk'>, speak: Speak): string {
  if (count !== undefined) return `${spokenNumber(count, speak)} ${of} on the same length`;
  return length === undefined
    ? 'set the pace'
    : `${speak({ kind: 'height', height: { method: 'stick', distance: { by: 'length', length } } }) ?? 'a length'} to be walked`;
}

function sameButWords({ facts, same }: NoteOf<'again'>, speak: Speak): string | undefined {
  const other = facts === undefined || same === undefined ? undefined : speak({ kind: 'tree', facts });
  return other === undefined ? undefined : `same again but ${other}`;
}

const spokenNumber = (value: number, speak: Speak): string =>
  speak({ kind: 'number', value }) ?? String(value);

const spokenAngle = ({ value, unit }: Angle, speak: Speak): string =>
  `${spokenNumber(value, speak)}${unit === 'deg' ? ' degrees' : unit === 'pct' ? ' percent' : ''}`;

const ordinals = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth'];

/** A tree told by its size, or by its place: no pattern says that. */
const isOnlyTyped = ({ species, diameter, back, middle, most, status, plot }: Which): boolean =>
  back !== undefined ||
  plot !== undefined ||
  middle !== undefined ||
  most !== undefined ||
  ((diameter !== undefined || status !== undefined) && species === undefined);

/** "the middle tree was fourteen", "not the pine, the hemlock". */
function pointingWords(note: NoteOf<'change'>, speak: Speak): string | undefined {
  const { swap, meant, of, nth } = note;
  if (swap !== undefined) return swapWords(swap, speak);
  const named = (which: Which): string => kindWords(which, undefined, speak);
  if (meant !== undefined) {
    const other = of === undefined ? '' : `not ${named(of)}, `;
    const tree =
      meant.tree === undefined ? named(meant.which ?? {}) : `tree ${spokenNumber(meant.tree, speak)}`;
    return `${other}${tree}`;
  }
  const said = valueWords(note, speak);
  if (said === undefined) return undefined;
  if (nth !== undefined)
    return `the ${nth === 'middle' ? nth : (ordinals[nth - 1] ?? nth)} reading was ${said}`;
  return of !== undefined && (of.said !== undefined || isOnlyTyped(of))
    ? `${named(of)} was ${said}`
    : undefined;
}

/** What a change puts there. */
function valueWords({ number, distance, facts }: NoteOf<'change'>, speak: Speak): string | undefined {
  if (number !== undefined) return speak({ kind: 'number', ...number });
  if (distance !== undefined) return speak({ kind: 'height', height: { method: 'stick', distance } });
  return facts === undefined ? undefined : speak({ kind: 'tree', facts });
}

/** "swap the heights of trees two and three". */
function swapWords({ what, trees, kinds }: NonNullable<NoteOf<'change'>['swap']>, speak: Speak): string {
  const part = what === undefined || what === 'all' ? '' : `the ${what} of `;
  const pair =
    trees !== undefined
      ? `trees ${trees.map((tree) => spokenNumber(tree, speak)).join(' and ')}`
      : kinds?.map((species) => kindWords({ species }, undefined, speak)).join(' and ');
  return `swap ${part}${pair ?? 'the last two trees'}${what === 'all' ? ', all of it' : ''}`;
}

const partNames: Readonly<Record<NonNullable<NoteOf<'change'>['measured']>['of'], string>> = {
  distance: 'the distance was',
  arm: 'the arm was',
  stick: 'the stick was',
  pole: 'the pole was',
  shadow: 'the shadow was',
  poleShadow: "the pole's shadow was",
  poleReads: 'the pole read',
  treeReads: 'the tree read',
  ofPole: "the pole's was",
  ofTree: "the tree's was",
};

/** "the arm was twenty seven inches", "that was in percent", "the base was minus four degrees". */
function heightPart({ measured, scale, base }: NoteOf<'change'>, speak: Speak): string | undefined {
  if (measured !== undefined)
    return `${partNames[measured.of]} ${spokenNumber(measured.value, speak)}${measured.unit === undefined ? '' : ` ${unitTable[measured.unit].words[0]}`}`;
  if (scale !== undefined)
    return `that was ${scale === 'topo' ? 'on the sixty six foot scale' : `in ${scale === 'deg' ? 'degrees' : 'percent'}`}`;
  if (base?.by !== 'angle') return undefined;
  const { value } = base.angle;
  return `the base was ${value < 0 ? 'minus ' : ''}${spokenAngle({ ...base.angle, value: Math.abs(value) }, speak)}`;
}

/** "the top was forty two degrees", "not hollow". */
function factWords(note: NoteOf<'tree' | 'change'>, speak: Speak): string | undefined {
  if (note.kind === 'change' && note.paced) return 'redo the paced heights';
  if (note.kind === 'change' && note.top !== undefined && note.base?.by === 'angle')
    return `top ${spokenAngle(note.top, speak)}, base ${spokenAngle(note.base.angle, speak)}`;
  if (note.kind === 'change' && note.top !== undefined) return `the top was ${spokenAngle(note.top, speak)}`;
  const part = note.kind === 'change' ? heightPart(note, speak) : undefined;
  if (part !== undefined) return part;
  const { unmarked, ...facts } = note.facts ?? {};
  if (unmarked === undefined) return undefined;
  const off = unmarked.map((mark) => `not ${mark}`).join(', ');
  const more = Object.keys(facts).length > 0 ? speak({ ...note, facts }) : undefined;
  return more === undefined ? off : `${more}, ${off}`;
}

/** "scratch the one before the last", "scratch two beech", "scratch the six". */
function scratchWords({ back, of, count, nth, leave }: NoteOf<'scratch'>, speak: Speak): string | undefined {
  if (leave) return 'leave it out';
  if (nth !== undefined) return `scratch the ${nth === 'middle' ? nth : (ordinals[nth - 1] ?? nth)} reading`;
  if (back === 1) return 'scratch the last one';
  if (back !== undefined)
    return back === 2 ? 'scratch the one before the last' : `scratch number ${back} from the end`;
  return of === undefined ? undefined : `scratch ${kindWords(of, count, speak)}`;
}

const places = ['last', 'second to last', 'third to last', 'fourth to last'];

/** "the second beech of twelve", "both beech", "the middle tree", "the dead birch", "the thinnest tree". */
function kindWords(
  { species, diameter, nth, back, middle, said, most, status, plot }: Which,
  count: number | undefined,
  speak: Speak,
): string {
  if (said !== undefined) return `the ${spokenNumber(said, speak)}`;
  const name = species === undefined ? undefined : speak({ kind: 'tree', facts: { species } });
  const size = diameter === undefined ? undefined : spokenNumber(diameter, speak);
  const many = count === undefined ? 'the' : count === 2 ? 'both' : `all ${spokenNumber(count, speak)}`;
  const which = [
    many,
    nth === undefined ? undefined : `number ${nth}`,
    middle ? 'middle' : undefined,
    back === undefined ? undefined : (places[back - 1] ?? `number ${back} from the end`),
    most,
    status,
    size,
    name ?? (size === undefined ? 'tree' : undefined),
    plot === undefined ? undefined : `on plot ${spokenNumber(plot, speak)}`,
  ];
  return which.filter((word) => word !== undefined).join(' ');
}

/** "tally eleven", "tally two, borderline"; undefined where more is known of the trees. */
function tallyWords({ facts, height }: NoteOf<'tree'>, speak: Speak): string | undefined {
  const { count, marks, ...others } = facts;
  if (height !== undefined || count === undefined || Object.keys(others).length > 0) return undefined;
  return [`tally ${spokenNumber(count, speak)}`, ...(marks ?? [])].join(', ');
}

/** "two of the pines on plot three are dead". */
function partWords(note: NoteOf<'change'>, part: number, speak: Speak): string | undefined {
  const { of, on, facts, among } = note;
  const name =
    of?.species === undefined ? undefined : speak({ kind: 'tree', facts: { species: of.species } });
  // A state alone is said twice, lest it be taken for a part of a name.
  const told =
    facts === undefined ? undefined : speak({ kind: 'tree', facts })?.replace(/^([a-z]+), \1$/, '$1');
  if (told === undefined || (name === undefined && among === undefined)) return undefined;
  const are = part === 1 ? 'is' : 'are';
  if (name === undefined)
    return `${spokenNumber(part, speak)} of the ${spokenNumber(among ?? part, speak)} ${are} ${told}`;
  if (among === 2 && part === 2) return `both ${name}s are ${told}`;
  const where = on === undefined ? '' : ` on plot ${spokenNumber(on, speak)}`;
  return `${spokenNumber(part, speak)} of the ${name}s${where} ${are} ${told}`;
}

/** "plot four was six trees", "count borderlines as half", "from here on factor ten", "wren did plot five". */
function countWords(note: NoteOf<'plot'>, speak: Speak): string | undefined {
  const { count, border, next, by, ...rest } = note;
  const number = note.number === undefined ? '' : ` ${spokenNumber(note.number, speak)}`;
  if (note.op === 'count' && count !== undefined)
    return `plot${number} was ${spokenNumber(count, speak)} trees`;
  if (note.op === 'plan' && count !== undefined) return `${spokenNumber(count, speak)} plots planned`;
  if (note.op === 'least') return leastWords(note, speak);
  if (note.same !== undefined) {
    const { same, ...other } = note;
    return note.op === 'slope' ? `same ${same}` : `${speak(other) ?? 'plot'}, same ${same}`;
  }
  if (note.op === 'borders' && border !== undefined)
    return `count borderlines ${border === 'half' ? 'as half' : border}`;
  const own = next === undefined && by === undefined ? undefined : (plotWords(rest, speak) ?? speak(rest));
  if (own === undefined) return undefined;
  return by === undefined ? `from here on ${own}` : `${by} did ${own}`;
}

/** "back to stand three", "stand three is done". */
function standWords({ name, back }: NoteOf<'stand'>, speak: Speak): string {
  const stand = (speak({ kind: 'stand', name }) ?? `stand ${name}`).replace(/^new /, '');
  return back ? `back to ${stand}` : `${stand} is done`;
}

/** "nothing under five inches". */
function leastWords({ diameter }: NoteOf<'plot'>, speak: Speak): string {
  if (diameter === undefined) return 'measure every tree';
  const unit = diameter.unit === undefined ? '' : ` ${unitTable[diameter.unit].words[0]}`;
  return `nothing under ${spokenNumber(diameter.value, speak)}${unit}`;
}

/** "plot two, twenty by thirty metres". */
function plotWords(note: NoteOf<'plot'>, speak: Speak): string | undefined {
  const counted = countWords(note, speak);
  if (counted !== undefined) return counted;
  const { size, ...rest } = note;
  if (size?.by !== 'sides') return undefined;
  const number = (value: number): string => spokenNumber(value, speak);
  const [one, other] = size.sides;
  const unit = size.unit === undefined ? '' : ` ${unitTable[size.unit].words[0]}`;
  const sides = `${number(one)} by ${number(other)}${unit}`;
  if (note.op !== 'size') return `${speak(rest) ?? 'plot'}, ${sides}`;
  return note.number === undefined ? `plots of ${sides}` : `plot ${number(note.number)} was ${sides}`;
}
