/** The process that writes remarks down: loads a general recogniser from a local folder and waits for clips. */
import { basename, dirname, sep } from 'node:path';
import { AutoProcessor, AutoTokenizer, env, WhisperForConditionalGeneration } from '@xenova/transformers';
import type { FromWriter, ToWriter } from './messages.ts';

const folder = process.argv[2]!;
env.allowRemoteModels = false;
env.useFSCache = false;
env.localModelPath = dirname(folder) + sep;

const options = { quantized: true, local_files_only: true };
const loaded = Promise.all([
  AutoProcessor.from_pretrained(basename(folder), options),
  AutoTokenizer.from_pretrained(basename(folder), options),
  WhisperForConditionalGeneration.from_pretrained(basename(folder), options),
]);
loaded.catch(() => {});

const reply = (message: FromWriter): void => {
  process.send?.(message);
};

process.on('message', async ({ id, samples }: ToWriter) => {
  try {
    const [processor, tokenizer, model] = await loaded;
    const { input_features } = await processor(samples);
    const tokens = await model.generate(input_features, { max_new_tokens: 100 });
    reply({ id, text: (tokenizer.decode(tokens[0], { skip_special_tokens: true }) as string).trim() });
  } catch (problem) {
    reply({ id, failed: (problem instanceof Error ? problem.message : String(problem)).split('\n')[0]! });
  }
});
process.on('disconnect', () => process.exit(0));
