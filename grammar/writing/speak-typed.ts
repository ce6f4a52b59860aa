/** Words for notes that only typing can tell: no pattern of the description says them, so the ear needs no arcs for them. */
import { unitTable } from '../../shared/core/units.ts';
import type { Note, NoteOf, Which } from '../../shared/note/note.ts';
import type { Angle } from '../../shared/note/quantities.ts';

type Speak = (note: Note) => string | undefined;

/** The words, or undefined where it is no such note. `speak` says those that have a pattern. */
export function speakOnlyTyped(note: Note, speak: Speak): string | undefined {
  switch (note.kind) {
    case 'plot':
      return plotWords(note, speak);
    case 'scratch':
      return scratchWords(note, speak);
    case 'height': {
      const height = note.of === undefined ? undefined : speak({ kind: 'height', height: note.height });
      return height === undefined ? undefined : `this one, ${height}`;
    }
    case 'hand':
      return note.which?.diameter === undefined || note.which.species !== undefined
        ? undefined
        : `for ${kindWords(note.which, undefined, speak)}`;
    case 'restore':
      if (note.count !== undefined) return `restore the last ${spokenNumber(note.count, speak)}`;
      return note.of === undefined ? undefined : `put back ${kindWords(note.of, undefined, speak)}`;
    case 'control':
      return note.op === 'short' ? 'short answers' : note.op === 'full' ? 'whole answers' : undefined;
    case 'tree':
      return factWords(note, speak) ?? tallyWords(note, speak);
    case 'change':
      return note.part === undefined ? factWords(note, speak) : partWords(note, note.part, speak);
    default:
      return undefined;
  }
}

const spokenNumber = (value: number, speak: Speak): string =>
  speak({ kind: 'number', value }) ?? String(value);

const spokenAngle = ({ value, unit }: Angle, speak: Speak): string =>
  `${spokenNumber(value, speak)}${unit === 'deg' ? ' degrees' : unit === 'pct' ? ' percent' : ''}`;

const ordinals = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth'];

/** "the top was forty two degrees", "not hollow". */
function factWords(note: NoteOf<'tree' | 'change'>, speak: Speak): string | undefined {
  if (note.kind === 'change' && note.paced) return 'redo the paced heights';
  if (note.kind === 'change' && note.top !== undefined && note.base?.by === 'angle')
    return `top ${spokenAngle(note.top, speak)}, base ${spokenAngle(note.base.angle, speak)}`;
  if (note.kind === 'change' && note.top !== undefined) return `the top was ${spokenAngle(note.top, speak)}`;
  const { unmarked, ...facts } = note.facts ?? {};
  if (unmarked === undefined) return undefined;
  const off = unmarked.map((mark) => `not ${mark}`).join(', ');
  const more = Object.keys(facts).length > 0 ? speak({ ...note, facts }) : undefined;
  return more === undefined ? off : `${more}, ${off}`;
}

/** "scratch the one before the last", "scratch two beech", "scratch the six". */
function scratchWords({ back, of, count, nth }: NoteOf<'scratch'>, speak: Speak): string | undefined {
  if (nth !== undefined) return `scratch the ${nth === 'middle' ? nth : (ordinals[nth - 1] ?? nth)} reading`;
  if (back === 1) return 'scratch the last one';
  if (back !== undefined)
    return back === 2 ? 'scratch the one before the last' : `scratch number ${back} from the end`;
  return of === undefined ? undefined : `scratch ${kindWords(of, count, speak)}`;
}

/** "the second beech of twelve", "both beech", "the dead birch". */
function kindWords(
  { species, diameter, nth, status }: Which,
  count: number | undefined,
  speak: Speak,
): string {
  const name = species === undefined ? undefined : speak({ kind: 'tree', facts: { species } });
  const size = diameter === undefined ? undefined : spokenNumber(diameter, speak);
  const many = count === undefined ? 'the' : count === 2 ? 'both' : `all ${spokenNumber(count, speak)}`;
  const which = [
    many,
    nth === undefined ? undefined : `number ${nth}`,
    status,
    size,
    name ?? (size ? undefined : 'tree'),
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
  const { of, on, facts } = note;
  const name =
    of?.species === undefined ? undefined : speak({ kind: 'tree', facts: { species: of.species } });
  // A state alone is said twice, lest it be taken for a part of a name.
  const told =
    facts === undefined ? undefined : speak({ kind: 'tree', facts })?.replace(/^([a-z]+), \1$/, '$1');
  if (name === undefined || told === undefined) return undefined;
  const where = on === undefined ? '' : ` on plot ${spokenNumber(on, speak)}`;
  return `${spokenNumber(part, speak)} of the ${name}s${where} ${part === 1 ? 'is' : 'are'} ${told}`;
}

/** "plot four was six trees", "count borderlines as half", "from here on factor ten", "wren did plot five". */
function countWords(note: NoteOf<'plot'>, speak: Speak): string | undefined {
  const { count, border, next, by, ...rest } = note;
  const number = note.number === undefined ? '' : ` ${spokenNumber(note.number, speak)}`;
  if (note.op === 'count' && count !== undefined)
    return `plot${number} was ${spokenNumber(count, speak)} trees`;
  if (note.op === 'borders' && border !== undefined)
    return `count borderlines ${border === 'half' ? 'as half' : border}`;
  const own = next === undefined && by === undefined ? undefined : (plotWords(rest, speak) ?? speak(rest));
  if (own === undefined) return undefined;
  return by === undefined ? `from here on ${own}` : `${by} did ${own}`;
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
