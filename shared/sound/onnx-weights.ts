/**
 * Reads the last layer out of the acoustic model's file: the initializers `output.weight` [hidden, 40] and `output.bias`
 * [40] of an ONNX model, both float32. ONNX files are protocol buffers (onnx.proto of the ONNX standard: ModelProto.graph
 * is field 7, GraphProto.initializer 5, TensorProto.data_type 2, name 8, raw_data 9; encoding: "Protocol Buffers
 * Encoding", developers' documentation of protobuf).
 */
import { layerOutputs, type OutputLayer } from './output-layer.ts';

const field = { graph: 7, initializer: 5, type: 2, name: 8, raw: 9 } as const;
const wire = { number: 0, eight: 1, bytes: 2, four: 5 } as const;
/** TensorProto.DataType.FLOAT. */
const float = 1;

interface Part {
  readonly field: number;
  /** Of bytes: where they lie. Of a number: its value, twice. */
  readonly from: number;
  readonly to: number;
}

/** The fields of the message that lies between two places. */
function* partsOf(file: Uint8Array, start: number, end: number): Generator<Part> {
  let at = start;
  const number = (): number => {
    let value = 0;
    for (let scale = 1; at < end; scale *= 128) {
      const byte = file[at++]!;
      value += (byte & 127) * scale;
      if (byte < 128) return value;
    }
    throw new RangeError('cut short');
  };
  while (at < end) {
    const key = number();
    const kind = key % 8;
    const name = Math.floor(key / 8);
    if (kind === wire.number) {
      const value = number();
      yield { field: name, from: value, to: value };
      continue;
    }
    const length =
      kind === wire.bytes ? number() : kind === wire.eight ? 8 : kind === wire.four ? 4 : Number.NaN;
    if (!(at + length <= end)) throw new RangeError('no protocol buffer');
    yield { field: name, from: at, to: at + length };
    at += length;
  }
}

/** Name, type and bytes of a tensor. */
function tensorAt(file: Uint8Array, { from, to }: Part): { name: string; type: number; raw: Part | null } {
  let name = '';
  let type = 0;
  let raw: Part | null = null;
  for (const part of partsOf(file, from, to)) {
    if (part.field === field.name) name = new TextDecoder().decode(file.subarray(part.from, part.to));
    else if (part.field === field.type) type = part.from;
    else if (part.field === field.raw) raw = part;
  }
  return { name, type, raw };
}

/** The floats of the named initializers; those that the file lacks are left out. Throws a RangeError when it is no such file. */
function initializers(file: Uint8Array, wanted: readonly string[]): Map<string, Float32Array> {
  const found = new Map<string, Float32Array>();
  for (const graph of partsOf(file, 0, file.length)) {
    if (graph.field !== field.graph) continue;
    for (const part of partsOf(file, graph.from, graph.to)) {
      if (part.field !== field.initializer) continue;
      const { name, type, raw } = tensorAt(file, part);
      if (raw !== null && type === float && wanted.includes(name))
        found.set(name, new Float32Array(Uint8Array.from(file.subarray(raw.from, raw.to)).buffer));
    }
  }
  return found;
}

/** The last layer that a model comes with; null where the file does not tell it. */
export function outputLayerOf(model: Uint8Array): OutputLayer | null {
  try {
    const found = initializers(model, ['output.weight', 'output.bias']);
    const weight = found.get('output.weight');
    const bias = found.get('output.bias');
    if (weight === undefined || bias?.length !== layerOutputs || weight.length % layerOutputs !== 0)
      return null;
    return { weight, bias };
  } catch {
    return null;
  }
}
