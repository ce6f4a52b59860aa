/**
 * The last layer of the acoustic model, apart from the rest of it: what the encoder makes of a frame (its hidden state)
 * to log probabilities of the phones. A profile of a voice is another such layer, fitted to that voice; the encoder
 * stays as it is.
 */

/** Outputs of the model: a blank and 39 phones. */
export const layerOutputs = 40;

/** Weights of one linear layer. */
export interface OutputLayer {
  /** [hidden][40]: what each number of a hidden state adds to each output. */
  readonly weight: Float32Array;
  /** [40]. */
  readonly bias: Float32Array;
}

/** How many numbers a hidden state has for this layer. */
export const hiddenSize = ({ weight }: Pick<OutputLayer, 'weight'>): number => weight.length / layerOutputs;

/**
 * Log probabilities, natural, of frames of hidden states: rows of 40, each summing to 1 as probabilities.
 *
 * Example: `applyOutputLayer({ weight: new Float32Array(40), bias: new Float32Array(40) }, new Float32Array(1))[0]?.toFixed(3) === '-3.689'`
 */
export function applyOutputLayer(layer: OutputLayer, hidden: Float32Array): Float32Array {
  const size = hiddenSize(layer);
  const frames = hidden.length / size;
  const logp = new Float32Array(frames * layerOutputs);
  for (let t = 0; t < frames; t++) scoreFrame(layer, hidden, t, logp);
  return logp;
}

/** Writes row `frame` of the log probabilities. Four numbers of the state at a time, which is twice as fast. */
export function scoreFrame(
  { weight, bias }: OutputLayer,
  hidden: Float32Array,
  frame: number,
  logp: Float32Array,
): void {
  const size = weight.length / layerOutputs;
  const row = frame * layerOutputs;
  const from = frame * size;
  for (let k = 0; k < layerOutputs; k++) logp[row + k] = bias[k]!;
  let i = 0;
  for (; i + 4 <= size; i += 4) {
    const a = hidden[from + i]!;
    const b = hidden[from + i + 1]!;
    const c = hidden[from + i + 2]!;
    const d = hidden[from + i + 3]!;
    const w = i * layerOutputs;
    for (let k = 0; k < layerOutputs; k++)
      logp[row + k]! +=
        a * weight[w + k]! +
        b * weight[w + layerOutputs + k]! +
        c * weight[w + 2 * layerOutputs + k]! +
        d * weight[w + 3 * layerOutputs + k]!;
  }
  for (; i < size; i++)
    for (let k = 0; k < layerOutputs; k++)
      logp[row + k]! += hidden[from + i]! * weight[i * layerOutputs + k]!;
  let most = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < layerOutputs; k++) most = Math.max(most, logp[row + k]!);
  let sum = 0;
  for (let k = 0; k < layerOutputs; k++) sum += Math.exp(logp[row + k]! - most);
  const whole = most + Math.log(sum);
  for (let k = 0; k < layerOutputs; k++) logp[row + k]! -= whole;
}
