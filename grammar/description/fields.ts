/**
 * The fields of the note as its schema has them: what stands at a path, and which numbers a field may hold.
 */
import { noteSchema } from '../../shared/note/note.ts';

/** The parts of a schema's definition that are looked at here. */
interface Shape {
  readonly type: string;
  readonly options?: readonly Schema[];
  readonly shape?: Readonly<Record<string, Schema>>;
  readonly innerType?: Schema;
  readonly element?: Schema;
  readonly items?: readonly Schema[];
  readonly entries?: Readonly<Record<string, unknown>>;
  readonly values?: readonly unknown[];
  /** Of texts. */
  readonly format?: string;
  /** Of numbers: limits, and that it is whole (as a check of its own or of the schema itself). */
  readonly checks?: readonly Check[];
  readonly check?: string;
}
interface Check {
  readonly _zod: {
    readonly def: { readonly check: string; readonly value?: unknown; readonly inclusive?: boolean };
  };
}
/** Any schema, as far as it is looked at here. */
export interface Schema {
  readonly _zod: { readonly def: Shape };
}

/** Forms that a note of a kind may have; of any kind when none is given. */
export function noteBranches(kind: unknown): Schema[] {
  return branches(noteSchema).filter(
    (branch) => kind === undefined || (branch._zod.def.shape?.kind?._zod.def.values ?? []).includes(kind),
  );
}

/** The schemas that may stand at a path; none when no form has it. */
export function fieldsAt(roots: readonly Schema[], path: string): readonly Schema[] {
  return path === '' ? roots : path.split('.').reduce<readonly Schema[]>(step, roots);
}

/** A schema without its optional and union wrapping. */
export function branches(schema: Schema): Schema[] {
  const { innerType, options } = schema._zod.def;
  if (innerType) return branches(innerType);
  return options ? options.flatMap(branches) : [schema];
}

function step(schemas: readonly Schema[], key: string): Schema[] {
  return schemas.flatMap(({ _zod: { def } }) => {
    const field = def.shape?.[key];
    return field === undefined ? [] : branches(field);
  });
}

/** The numbers that a field may hold. */
export interface FieldLimit {
  readonly low: number;
  readonly high: number;
  /** True when the low limit itself is not allowed. */
  readonly above: boolean;
  readonly whole: boolean;
}

const known = new Map<string, FieldLimit | undefined>();

/**
 * The limit of the number at a path (`plot.size.value`; of a list's quantities with `list`), the widest of all kinds
 * of note that have the field; undefined where any number will do.
 * Example: `limitAt('set.shorter', false)` is `{ low: 0, high: 60, above: false, whole: false }`.
 */
export function limitAt(path: string, list: boolean): FieldLimit | undefined {
  const key = `${path}${list ? '[]' : ''}`;
  if (!known.has(key)) known.set(key, findLimit(path, list));
  return known.get(key);
}

function findLimit(path: string, list: boolean): FieldLimit | undefined {
  const at = fieldsAt(noteBranches(undefined), path);
  const fields = list
    ? at
        .flatMap(({ _zod: { def } }) => (def.element === undefined ? [] : branches(def.element)))
        .flatMap(({ _zod: { def } }) => (def.shape?.value === undefined ? [] : branches(def.shape.value)))
    : at;
  const numbers = fields.filter(({ _zod: { def } }) => def.type === 'number');
  if (numbers.length === 0) return undefined;
  const limits = numbers.map(({ _zod: { def } }) => numberLimit(def));
  const low = Math.min(...limits.map((limit) => limit.low));
  const limit: FieldLimit = {
    low,
    high: Math.max(...limits.map(({ high }) => high)),
    above: limits.every((each) => each.low > low || each.above),
    whole: limits.every(({ whole }) => whole),
  };
  const free =
    limit.low === Number.NEGATIVE_INFINITY && limit.high === Number.POSITIVE_INFINITY && !limit.whole;
  return free ? undefined : limit;
}

/** What the checks of a number's schema leave of the numbers; anything where it has none. */
export function numberLimit(def: Shape): FieldLimit {
  let [low, high, above, whole] = [-Infinity, Infinity, false, def.check === 'number_format'];
  for (const { _zod } of def.checks ?? []) {
    const { check, value, inclusive } = _zod.def;
    if (check === 'number_format') whole = true;
    if (typeof value !== 'number') continue;
    if (check === 'less_than') high = Math.min(high, value);
    if (check !== 'greater_than' || value < low) continue;
    above = inclusive === false || (value === low && above);
    low = value;
  }
  return { low, high, above, whole };
}

export function isWithin(limit: FieldLimit, value: number): boolean {
  if (value < limit.low || value > limit.high || (limit.above && value === limit.low)) return false;
  return !limit.whole || Number.isInteger(value);
}

/** So far a limit is worth naming when a number is below it: what is higher is the program's own, not the trade's. */
const farFrom = 1000;

/** "a whole number above 0", "a number from 0 to 60", "a number up to 1000000": for a sentence about what was found. */
export function limitText({ low, high, above, whole }: FieldLimit, found: number): string {
  const kind = whole ? 'a whole number' : 'a number';
  if (high < farFrom) return `${kind} from ${low} to ${high}`;
  if (found > high) return `${kind} up to ${high}`;
  if (whole && low === 1) return `${kind} above 0`;
  return above ? `${kind} above ${low}` : `${kind} from ${Math.max(low, Number.MIN_SAFE_INTEGER)} up`;
}
