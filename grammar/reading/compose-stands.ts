/**
 * Stands by their number, their compartment or both, with what grows there and how large they are, in any order of these:
 * "stand three, upland oak, 42 acres", "we're in Harl Wood, compartment 14b"; and those that are gone back to or done with.
 */
import type { Note, NoteOf } from '../../shared/note/note.ts';
import type { Concept } from '../description/other-words/concepts.ts';
import type { SaidPiece } from './pieces.ts';
import { nobody } from './said-shape.ts';
import { clausesOf, type Draft, everyPlace, type Scan } from './scan.ts';

type Area = NoteOf<'stand'>['area'];

/** A word for a stand that may go by a number. */
const placeWord = /^(?:stand|compartment|cpt|cmpt)$/;
/** A word that ends the name of a place: "Harl Wood". */
const lastWord =
  /^(?:woods?|forest|tract|lot|woodlot|farm|estate|grove|copse|plantation|hill|hollow|ridge|bottom|bank|moor|shaw|dell|glen|brook|creek|notch|hanger|spinney|side|end|block)$/;
const numberWord = /^(?:number|no|nr|#)$/;
/** What leads to a stand, word by word. */
const leading =
  /^(?:ok|okay|right|so|now|and|then|well|hi|hello|good|morning|afternoon|folks|we|i|us|am|are|is|'s|be|this|that|it|here|there|in|at|on|to|into|onto|over|off|out|up|down|across|next|new|another|the|a|moving|moved|move|going|gone|go|heading|headed|head|started|starting|start|begin|beginning|begun|doing|working|work|got|have|let|will|for|also|today|crossed|crossing|come|coming|arrived|entering|entered|shifting|shifted|shift|switching|switched|switch|changing|changed|change)$/;
const isLeading = ({ text, is }: SaidPiece): boolean =>
  is === 'words' && text.split(' ').every((word) => leading.test(word));

/** A stretch of pieces; the end is no part of it. */
interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** What one clause tells of a stand. */
type Told =
  | { readonly is: 'code'; readonly code: string; readonly rest?: string; readonly name?: string }
  | { readonly is: 'name'; readonly name: string; readonly led: boolean }
  | { readonly is: 'area'; readonly area: Area }
  | { readonly is: 'new'; readonly rest?: string }
  | { readonly is: 'described'; readonly text: string; readonly bare: boolean };

/** "14b", "3": a number with at most a letter behind it, and where it ends. */
function codeAt({ pieces }: Scan, at: number, end: number): { code: string; to: number } | undefined {
  const number = pieces[at]?.number;
  const plain =
    number !== undefined &&
    number.unit === undefined &&
    number.sign === undefined &&
    number.sides === undefined;
  if (!plain || !Number.isInteger(number.value) || number.value < 1 || number.value > 999) return undefined;
  const letter = pieces[at + 1]?.text ?? '';
  const lettered =
    at + 1 < end &&
    /^[a-h]$/.test(letter) &&
    (letter !== 'a' ||
      at + 2 >= end ||
      isWhen.test(pieces[at + 2]!.text) ||
      /^(?:in|of|at)$/.test(pieces[at + 2]!.text));
  return lettered
    ? { code: `${number.value}${letter}`, to: at + 2 }
    : { code: String(number.value), to: at + 1 };
}

const isWhen = /^(?:now|here|today|then|again|please|and|,|is|'s)$/;

/** What no words say that only tell what grows in a stand. */
const elsewhere: ReadonlySet<Concept> = new Set<Concept>([
  'ask',
  'scratch',
  'restore',
  'fix',
  'no',
  'not',
  'plot',
  'nextPlot',
  'close',
  'reopen',
  'remark',
  'again',
  'factor',
  'fixed',
  'radius',
  'stop',
  'quiet',
  'person',
  'role',
  'pace',
  'eye',
  'metric',
  'imperial',
  'howMany',
  'empty',
]);

function describedIn({ pieces }: Scan, { from, to }: Stretch): Told | undefined {
  const own = pieces.slice(from, to);
  const kinds = own.filter(({ is }) => is === 'species');
  const fits = own.every(
    ({ is, concepts, light }) =>
      is === 'species' ||
      is === 'break' ||
      (is === 'words' && (light || ![...concepts].some((one) => elsewhere.has(one)))),
  );
  const words = own.filter(({ is, light }) => is === 'words' && !light);
  if (!fits || (kinds.length === 0 && words.length === 0)) return undefined;
  // "A beech" is a tree.
  if (kinds.length === 1 && /^(?:an?|the|this|that|one)$/.test(own[0]!.text)) return undefined;
  const text = own.map(({ is, text: word }) => (is === 'break' && word !== 'and' ? ',' : word)).join(' ');
  return {
    is: 'described',
    text: text.replace(/^(?:it is|it|is|of|with|all of it) /, ''),
    bare: kinds.length === 1 && words.length === 0,
  };
}

/** "42 acres", "it's about eleven acres". */
function areaIn(scan: Scan, { from, to }: Stretch): Told | undefined {
  const at = scan.numbers.find((one) => one >= from && one < to);
  if (at === undefined || scan.label(at) !== 'area') return undefined;
  const light = scan.pieces
    .slice(from, to)
    .every(
      ({ light: small, concepts }, i) =>
        from + i === at || small || concepts.has('guess') || concepts.has('allOf'),
    );
  const { value, unit } = scan.number(at);
  if (!light || (unit !== 'acre' && unit !== 'ha' && unit !== 'm2')) return undefined;
  return { is: 'area', area: { value, unit } };
}

/** "We're in stand 3", "compartment 14b", "number 4", "15a", with what follows in the clause. */
function codeIn(scan: Scan, { from, to }: Stretch, known: boolean): Told | undefined {
  const { pieces } = scan;
  let at = from;
  while (at < to && isLeading(pieces[at]!)) at++;
  const word = at < to && placeWord.test(pieces[at]!.text);
  if (word) at++;
  const numbered = at < to && numberWord.test(pieces[at]!.text);
  if (numbered) at++;
  const found = codeAt(scan, at, to);
  // "Number 4" and "15a" by themselves only where a stand is spoken of, or with a letter.
  if (found === undefined || !(word || (known && (numbered || /[a-h]$/.test(found.code))))) return undefined;
  const rest = pieces.slice(found.to, to).filter(({ text }) => !isWhen.test(text));
  if (rest.length === 0) return { is: 'code', code: found.code };
  // "Compartment 22a in Dunmore Forest".
  const named = /^(?:in|of|at)$/.test(pieces[found.to]!.text)
    ? nameIn(scan, { from: found.to, to })
    : undefined;
  if (named?.is === 'name') return { is: 'code', code: found.code, name: named.name };
  const told = describedIn(scan, { from: found.to, to });
  return told?.is === 'described' && !told.bare
    ? { is: 'code', code: found.code, rest: told.text.replace(/^(?:is|'s|now) /, '') }
    : undefined;
}

/** "New stand", "moving over to the broadleaves": what says that another stand begins. */
function newIn({ pieces }: Scan, { from, to }: Stretch): Told | undefined {
  let at = from;
  while (at < to && (isLeading(pieces[at]!) || placeWord.test(pieces[at]!.text))) at++;
  if (at === to) return { is: 'new' };
  const moves = pieces
    .slice(from, at)
    .some(({ text }) => /\b(?:mov|shift|cross|head|switch|go|over|into|new|next)/.test(text));
  const rest = pieces.slice(at, to);
  return moves && rest.every(({ unknown, light }) => unknown || light)
    ? { is: 'new', rest: rest.map(({ text }) => text).join(' ') }
    : undefined;
}

/** "Old Fell Shaw", "we're in Harl Wood": words with a capital, or such as end in a word for a place. */
function nameIn({ pieces }: Scan, { from, to }: Stretch): Told | undefined {
  let at = from;
  const isName = ({ is, capital, text }: SaidPiece, first: boolean): boolean =>
    is === 'words' &&
    (capital || text === "'s") &&
    !nobody.test(text) &&
    !(first && isLeading({ text, is } as SaidPiece));
  while (at < to && !(isName(pieces[at]!, at === 0) && at + 1 <= to)) {
    if (!isLeading(pieces[at]!)) return undefined;
    at++;
  }
  let end = at;
  while (end < to && isName(pieces[end]!, false)) end++;
  const own = pieces.slice(at, end);
  if (own.length === 0 || own.length > 4) return undefined;
  if (pieces.slice(end, to).some(({ text }) => !isWhen.test(text))) return undefined;
  const placed = lastWord.test(own.at(-1)?.text ?? '') || own.some(({ concepts }) => concepts.has('stand'));
  // One word alone may be anybody.
  if (!placed && own.length < 2) return undefined;
  const name = own
    .map(({ name: written, text }) => written ?? text)
    .join(' ')
    .replaceAll(" '", "'");
  return { is: 'name', name, led: placed };
}

/** Clauses of a stretch; "poplar and birch" is one. */
const clauses = (scan: Scan): Stretch[] =>
  clausesOf(scan.pieces, ({ is, text }) => is === 'break' && text !== 'and').map(([from, to]) => ({
    from,
    to,
  }));

/** A stand that begins, by its number: with its name, its kinds and its area. */
export function numberedStandDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('scratch', 'remark', 'fix', 'no', 'not')) return undefined;
  const own = clauses(scan);
  const told: Told[] = [];
  for (const clause of own) {
    const known = told.some(({ is }) => is !== 'area' && is !== 'described');
    const found =
      codeIn(scan, clause, known) ??
      areaIn(scan, clause) ??
      nameIn(scan, clause) ??
      newIn(scan, clause) ??
      (known ? describedIn(scan, clause) : undefined);
    if (found === undefined) return undefined;
    told.push(found);
  }
  const of = <K extends Told['is']>(is: K) =>
    told.filter((one): one is Extract<Told, { is: K }> => one.is === is);
  const [codes, names, areas, described] = [of('code'), of('name'), of('area'), of('described')];
  const [code] = codes;
  if (code === undefined || codes.length > 1 || names.length > 1 || areas.length > 1) return undefined;
  const area = areas[0]?.area;
  // "Stand 4, beech" may be followed by its size.
  const unsure = described.length === 1 && described[0]!.bare && area === undefined;
  const called = names[0]?.name ?? code.name;
  const name = called === undefined ? code.code : `${called} ${code.code}`;
  const kinds = [...of('new').map(({ rest }) => rest), code.rest, ...described.map(({ text }) => text)]
    .filter((text) => text !== undefined)
    .join(', ');
  const stand: Note = { kind: 'stand', name, ...(area === undefined ? {} : { area }) };
  return {
    notes: kinds === '' ? [stand] : [stand, { kind: 'remark', text: kinds }],
    used: everyPlace(scan),
    against: -0.3 - 0.05 * own.length,
    ...(unsure ? { unsure } : {}),
  };
}

const goingBack =
  /^(?:(?:and|now|so|ok|okay|right|we are|we will|we|i am|i|am|are|let us|then|going|gone|heading|moving|went|come|coming|it is) )*(?:back|return|returning|returned|again) (?:(?:to|in|into|at|on|over to|over in|for) )+(?:the )?/;
const ending =
  /\b(?:done|finished|finish|finishing|complete|completed|closed|close|closing|through|over|wrapped up|wrap up|wraps up|that is it|that will do|that does it|that is all|ends|end)\b/;

/** The stand that a clause goes back to. */
function backIn(scan: Scan, { from, to }: Stretch, known: boolean): string | undefined {
  const text = scan.text(from, to);
  const [lead] = goingBack.exec(`${text} `) ?? [];
  if (lead === undefined) return undefined;
  let at = from;
  while (at < to && scan.text(from, at).length < lead.trimEnd().length) at++;
  const word = at < to && placeWord.test(scan.pieces[at]!.text);
  if (word) at++;
  if (numberWord.test(scan.pieces[at]?.text ?? '')) at++;
  const code = codeAt(scan, at, to);
  if (code !== undefined)
    return (word || known || /[a-h]$/.test(code.code)) &&
      scan.pieces.slice(code.to, to).every(({ text: one }) => isWhen.test(one))
      ? code.code
      : undefined;
  const named = nameIn(scan, { from: at, to }) ?? lowerName(scan, { from: at, to });
  return named?.is === 'name' && named.led ? named.name : undefined;
}

/** "Harl wood" without capitals: words that nobody knows before one for a place. */
function lowerName({ pieces }: Scan, { from, to }: Stretch): Told | undefined {
  const own = pieces.slice(from, to);
  const last = own.at(-1);
  const fits = last !== undefined && lastWord.test(last.text) && own.length > 1 && own.length < 5;
  return fits && own.slice(0, -1).every(({ unknown }) => unknown)
    ? { is: 'name', name: own.map(({ text }) => text).join(' '), led: true }
    : undefined;
}

/** The stand that a clause ends. */
function doneIn(scan: Scan, { from, to }: Stretch): string | undefined {
  const word = scan.pieces.findIndex(({ text }, at) => at >= from && at < to && placeWord.test(text));
  const text = scan.text(from, to);
  if (word < 0 || !ending.test(text) || /\b(?:plot|point|not|almost|nearly|half|when|if)\b/.test(text))
    return undefined;
  const at = numberWord.test(scan.pieces[word + 1]?.text ?? '') ? word + 2 : word + 1;
  const code = codeAt(scan, at, to) ?? codeAt(scan, at, at + 1);
  if (code === undefined) return undefined;
  const rest = [...scan.pieces.slice(from, word), ...scan.pieces.slice(code.to, to)];
  const plain = rest.every(
    ({ light, concepts, is }) =>
      is !== 'number' &&
      is !== 'species' &&
      (light || concepts.has('close') || concepts.has('stop') || concepts.has('over')),
  );
  return plain ? code.code : undefined;
}

/** "Done with stand 4, back to 3", "ok stand 3's finished", "back to Harl Wood". */
export function knownStandDraft(scan: Scan): Draft | undefined {
  if (scan.asked || scan.has('scratch', 'remark', 'fix')) return undefined;
  const notes: NoteOf<'stand'>[] = [];
  for (const clause of clauses(scan)) {
    const done = doneIn(scan, clause);
    const back = done === undefined ? backIn(scan, clause, notes.length > 0) : undefined;
    if (done !== undefined) notes.push({ kind: 'stand', name: done, done: true });
    else if (back !== undefined) notes.push({ kind: 'stand', name: back, back: true });
    else return undefined;
  }
  const [first, second, ...more] = notes;
  // One that is gone back to is not ended in the same breath.
  if (first === undefined || more.length > 0 || (second !== undefined && (first.back || second.done)))
    return undefined;
  return {
    notes: second === undefined ? [first] : [first, second],
    used: everyPlace(scan),
    against: -0.3 - (second === undefined ? 0 : 1),
  };
}
