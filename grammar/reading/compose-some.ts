/** What is told later of some of several trees that were told together: "one of those pines is dead", "both of the pears". */
import type { Note } from '../../shared/note/note.ts';
import { factsOf } from './compose-facts.ts';
import { plotOf, several } from './compose-points.ts';
import { type Draft, explain, type Scan } from './scan.ts';

/** "One of those pines is dead": some of several that were told together. */
export function partDraft(scan: Scan): Draft | undefined {
  const [name, ...others] = scan.species;
  if (others.length > 0 || scan.asked || scan.has('ask', 'scratch', 'restore', 'not')) return undefined;
  if (name === undefined) return factsOfThem(scan);
  const part = partBefore(scan, name);
  return part === undefined ? sizesOfSome(scan, name) : factsOfSome(scan, name, part);
}

/** "Three of them are dead": of the trees that were told last. */
function factsOfThem(scan: Scan): Draft | undefined {
  const of = scan.pieces.findIndex(({ text }) => /^of(?: (?:them|those|these))?$/.test(text));
  const before = scan.pieces[of - 1];
  const among = ofSoMany(scan, of);
  const end = among === undefined ? of : Math.max(...among.places);
  const verb = scan.pieces[end + 1]?.text ?? '';
  if (before === undefined || !haveIt.test(verb) || scan.has('plot')) return undefined;
  if (scan.pieces[of]!.text === 'of' && among === undefined) return undefined;
  const count = before.number?.value ?? (before.text === 'one' ? 1 : undefined);
  if (count === undefined || !Number.isInteger(count) || count < 1) return undefined;
  if (among !== undefined && count > among.count) return undefined;
  const own = new Set([of - 1, of, ...(among?.places ?? [])]);
  const found = factsOf(scan, own);
  if (found === undefined || found.more.length > 0 || found.facts.count !== undefined) return undefined;
  return {
    notes: [
      {
        kind: 'change',
        part: count,
        ...(among === undefined ? {} : { among: among.count }),
        facts: found.facts,
      },
    ],
    used: explain(scan, [...own, ...found.used], [...found.concepts, 'that', 'one', 'has', 'in']),
    against: -0.1,
  };
}
/** "Of the six", "of those six": how many they are in all. */
function ofSoMany(
  scan: Scan,
  of: number,
): { readonly count: number; readonly places: readonly number[] } | undefined {
  const at = [of + 1, of + 2].find((one) => scan.pieces[one]?.is === 'number');
  const { number } = scan.pieces[at ?? -1] ?? {};
  if (of < 0 || at === undefined || number === undefined || number.unit !== undefined) return undefined;
  const { value } = number;
  const led =
    at === of + 1
      ? scan.pieces[of]!.text !== 'of'
      : /^(?:the|those|these|my)$/.test(scan.pieces[of + 1]!.text);
  return led && Number.isInteger(value) && value > 1 ? { count: value, places: [of + 1, at] } : undefined;
}
const haveIt = /^(?:is|'s|are|was|were|looks?|has|have|had|got|lost|turned|went|'re)$/;

/** "Both of the pears", "both pears", "all three oaks": all that there are. */
function bothBefore(
  scan: Scan,
  name: number,
): { readonly count: number; readonly places: number[]; readonly among: number } | undefined {
  if (scan.pieces[name]!.many !== true) return undefined;
  const [said] =
    /(?:^| )(?:both|all \S+)(?: of)?(?: (?:those|the|these|my|our))?$/.exec(scan.text(0, name)) ?? [];
  if (said === undefined) return undefined;
  const from = scan.pieces.findIndex(({ text }, at) => at < name && /^(?:both|all)(?: |$)/.test(text));
  const [at] = scan.numbers.filter((one) => one > from && one < name);
  const count = /both/.test(said) ? 2 : at === undefined ? undefined : scan.number(at).value;
  if (from < 0 || count === undefined || !Number.isInteger(count) || count < 2) return undefined;
  return { count, among: count, places: Array.from({ length: name - from + 1 }, (_, to) => from + to) };
}

/** How many of them, and where that stands. */
function partBefore(
  scan: Scan,
  name: number,
): { readonly count: number; readonly places: number[]; readonly among?: number } | undefined {
  const of = scan.text(0, name);
  const both = bothBefore(scan, name);
  if (both !== undefined) return both;
  const [, said] = /(?:^| )(\S+) of (?:those|the|these|them|my|our)(?: \S+)?$/.exec(of) ?? [];
  if (said === undefined || scan.pieces[name]!.many !== true) return undefined;
  const at = scan.pieces.findIndex(({ text }) => text === said || text.startsWith(`${said} `));
  const { number, text } = scan.pieces[at] ?? {};
  const count = number?.value ?? (/^(?:one|another)$/.test(text ?? '') ? 1 : undefined);
  return count === undefined || !Number.isInteger(count) || count < 1
    ? undefined
    : { count, places: Array.from({ length: name - at + 1 }, (_, to) => at + to) };
}

function factsOfSome(
  scan: Scan,
  name: number,
  {
    count,
    places,
    among,
  }: { readonly count: number; readonly places: readonly number[]; readonly among?: number },
): Draft | undefined {
  const plot = plotOf(scan);
  const verb = scan.pieces[(plot !== undefined && plot > name ? plot : name) + 1]?.text ?? '';
  if (!haveIt.test(verb)) return undefined;
  const own = new Set([...places, ...(plot === undefined ? [] : [plot])]);
  const found = factsOf(scan, own);
  if (found === undefined || found.more.length > 0 || found.facts.count !== undefined) return undefined;
  const on = plot === undefined ? {} : { on: scan.number(plot).value };
  return {
    notes: [
      {
        kind: 'change',
        of: { species: scan.name(name) },
        part: count,
        ...(among === undefined ? {} : { among }),
        ...on,
        facts: found.facts,
      },
    ],
    used: explain(scan, [...own, ...found.used], [...found.concepts, 'ofThem', 'plot', 'that', 'one', 'has']),
    against: -0.1,
  };
}

/** "Those pines at point 3 were 12, 12, 15 and 18": each of several gets its size. */
function sizesOfSome(scan: Scan, name: number): Draft | undefined {
  const [first, ...more] = scan.of('bare', 'diameter').filter((at) => at > name);
  const plot = plotOf(scan);
  const before = scan.numbers.filter((at) => at < name);
  if (first === undefined || more.length === 0 || more.length > 7 || scan.pieces[name]!.many !== true)
    return undefined;
  const definite = /\b(?:those|the|these|my|our)(?: \S+)?(?: \S+)?$/.test(scan.text(0, name));
  const told = /\b(?:were|are|was|came|come|measured|taped|go)\b/.test(scan.text(name + 1, first));
  if (!definite || !told || before.length > 1) return undefined;
  if (scan.numbers.some((at) => at > name && at !== plot && at !== first && !more.includes(at)))
    return undefined;
  const sizes = [first, ...more];
  const unit = sizes.map((at) => scan.number(at).unit).find((one) => one === 'in' || one === 'cm');
  const on = plot === undefined ? {} : { on: scan.number(plot).value };
  const notes = several(
    sizes.map((at): Note => {
      const diameter = { value: scan.number(at).value, ...(unit === undefined ? {} : { unit }) };
      return { kind: 'change', of: { species: scan.name(name) }, part: 1, ...on, facts: { diameter } };
    }),
  );
  const own = [name, ...sizes, ...before, ...(plot === undefined ? [] : [plot])];
  return notes === undefined
    ? undefined
    : {
        notes,
        used: explain(scan, own, ['plot', 'that', 'tape', 'dbh', 'ofThem', 'tree', 'off', 'guess']),
        against: -0.1,
      };
}
