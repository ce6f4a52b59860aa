/**
 * The file of the learned reader, in the open layout "safetensors": the length of a header, the header (names, types,
 * shapes and places of tables, and what rows stand for), then the numbers. Matrices are bytes with a scale a row.
 */
import { required } from '../../../shared/core/required.ts';
import { err, ok, type Result } from '../../../shared/core/result.ts';

/** Numbers row by row: a byte each, times the scale of its row. */
export interface Matrix {
  readonly rows: number;
  readonly columns: number;
  readonly bytes: Int8Array;
  readonly scale: Float32Array;
}

export interface Weights {
  matrix(name: string): Matrix;
  vector(name: string): Float32Array;
  /** What the rows of a table stand for. */
  names(table: string): readonly string[];
  /** Of what the network has so many: layers, heads. */
  count(what: string): number;
}

interface Entry {
  readonly dtype: string;
  readonly shape: readonly number[];
  readonly data_offsets: readonly [number, number];
}

/** More is no header. */
const longestHeader = 4_000_000;

/** The tables of a file; an error where it is damaged or of another layout. */
export function readWeights(file: Uint8Array): Result<Weights, string> {
  const damaged = (what: string): Result<Weights, string> => err(`The learned reader's file ${what}.`);
  if (file.length < 8) return damaged('is empty');
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const length = view.getUint32(0, true);
  if (length > longestHeader || 8 + length > file.length) return damaged('is cut off');
  let header: Record<string, unknown>;
  try {
    header = JSON.parse(new TextDecoder().decode(file.subarray(8, 8 + length))) as Record<string, unknown>;
  } catch {
    return damaged('has no header');
  }
  const body = file.subarray(8 + length);
  const named = header.__metadata__ as Readonly<Record<string, string>> | undefined;
  if (named === undefined) return damaged('names nothing');
  const entry = (name: string): Entry | undefined => header[name] as Entry | undefined;
  const bytes = (name: string): Uint8Array | undefined => {
    const [from, to] = entry(name)?.data_offsets ?? [0, -1];
    return to >= from && to <= body.length ? body.subarray(from, to) : undefined;
  };
  for (const name of Object.keys(header)) {
    if (name !== '__metadata__' && bytes(name) === undefined) return damaged(`lacks ${name}`);
  }
  // A copy: a view would begin at any place of its memory.
  const table = (name: string): ArrayBuffer => new Uint8Array(required(bytes(name), `table ${name}`)).buffer;
  const floats = (name: string): Float32Array => new Float32Array(table(name));
  return ok({
    count: (what) => Number(named[what]),
    names: (of) => (named[of] ?? '').split('\n'),
    vector: floats,
    matrix(name) {
      const [rows = 0, columns = 0] = entry(name)?.shape ?? [];
      return { rows, columns, bytes: new Int8Array(table(name)), scale: floats(`${name}.scale`) };
    },
  });
}
