/** The process that speaks: flite, compiled to WebAssembly, run once a sentence. Started by `voice.ts` only. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { voiceProgram } from '../program/places.ts';
import type { SaidMessage, SayMessage } from './messages.ts';

// Node warns at every start that its WASI is an experiment; that is known, and nothing a user can do about it.
process.emitWarning = () => {};
const { WASI } = await import('node:wasi');

const program = await WebAssembly.compile(readFileSync(voiceProgram()));
const folder = mkdtempSync(join(tmpdir(), 'voice-'));
process.on('disconnect', () => process.exit());
process.on('exit', () => rmSync(folder, { recursive: true, force: true }));

/** One sentence as a WAV file. The program ends after it, and with it all that it took of memory. */
async function say(words: string, rate: number): Promise<Uint8Array<ArrayBuffer>> {
  const wasi = new WASI({
    version: 'preview1',
    args: ['flite', '-voice', 'slt', '--setf', `duration_stretch=${1 / rate}`, '-t', words, '/out/said.wav'],
    env: {},
    preopens: { '/out': folder },
    returnOnExit: true,
  });
  const instance = await WebAssembly.instantiate(program, wasi.getImportObject() as WebAssembly.Imports);
  const status = wasi.start(instance);
  if (status !== 0) throw new Error(`the voice ended with ${status}`);
  const file = join(folder, 'said.wav');
  const wav = Uint8Array.from(readFileSync(file));
  rmSync(file);
  return wav;
}

process.on('message', async ({ id, words, rate }: SayMessage) => {
  let said: SaidMessage;
  try {
    said = { id, wav: await say(words, rate) };
  } catch (cause) {
    said = { id, wav: null, why: cause instanceof Error ? cause.message : String(cause) };
  }
  process.send?.(said);
});
