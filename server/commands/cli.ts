/**
 * The command line: `stemsay note`, `hear` and the rest. It reads arguments and hands over to a command of
 * `commands/`. Exit status: 0 done, 1 something was refused or found wrong, 2 the command itself was wrong.
 */
import { parseArgs } from 'node:util';
import { grammarFormats } from '../../shared/wire.ts';
import { getDictation, importEntries } from './bringing.ts';
import { clips } from './clips.ts';
import { backup, merge, restoreBook } from './keeping.ts';
import { edge, hear, note } from './notes.ts';
import { phonesCommand } from './phones.ts';
import { check, doubts, exportBook, report, totals } from './reading.ts';
import { oneOf, options, RefusedError, type Terminal, UsageError, type Values } from './terminal.ts';
import { shortAnswer } from './usage.ts';
import { voice } from './voices.ts';

export type { Terminal } from './terminal.ts';

interface Command {
  /** The options that it takes; any other is a mistake worth saying. */
  readonly takes: readonly (keyof Values)[];
  run(rest: readonly string[], values: Values, terminal: Terminal): number | Promise<number>;
  /** It takes words or files too. */
  readonly more?: true;
}

const commands: Readonly<Record<string, Command>> = {
  note: { takes: ['json', 'book', 'list'], more: true, run: note },
  hear: { takes: ['json', 'book', 'list'], more: true, run: hear },
  totals: { takes: ['json', 'book'], run: (_, ...given) => totals(...given) },
  doubts: { takes: ['json', 'book'], run: (_, ...given) => doubts(...given) },
  export: { takes: ['format', 'table', 'columns', 'book'], run: (_, ...given) => exportBook(...given) },
  report: { takes: ['format', 'book', 'out'], run: (_, ...given) => report(...given) },
  grammar: { takes: ['format'], run: (_, ...given) => printGrammar(...given) },
  check: { takes: ['json', 'book'], run: (_, ...given) => check(...given) },
  import: { takes: ['book'], more: true, run: importEntries },
  edge: { takes: ['json', 'book', 'stand', 'stratum'], more: true, run: edge },
  clips: { takes: ['book'], more: true, run: clips },
  backup: { takes: ['book', 'out'], run: (_, ...given) => backup(...given) },
  restore: { takes: ['book', 'from'], run: (_, ...given) => restoreBook(...given) },
  merge: { takes: [], more: true, run: merge },
  voice: { takes: ['json', 'book', 'out', 'from'], more: true, run: voice },
  phones: { takes: ['json', 'book'], more: true, run: phonesCommand },
  'fetch-dictation': { takes: ['from', 'yes'], run: (_, ...given) => getDictation(...given) },
};

function printGrammar(values: Values, terminal: Terminal): number {
  const text = terminal.language().render(oneOf('format', values.format ?? 'help', grammarFormats));
  terminal.stdout.write(text.endsWith('\n') ? text : `${text}\n`);
  return 0;
}

/** Runs one command and resolves to the exit status. */
export async function run(argv: readonly string[], terminal: Terminal): Promise<number> {
  try {
    return await dispatch(argv, terminal);
  } catch (error) {
    if (error instanceof UsageError) {
      terminal.stderr.write(`${error.message}\n"stemsay --help" shows all commands.\n`);
      return 2;
    }
    if (error instanceof RefusedError || (error instanceof Error && error.name === 'StoreError')) {
      terminal.stderr.write(`${error.message}\n`);
      return 1;
    }
    throw error;
  }
}

async function dispatch(argv: readonly string[], terminal: Terminal): Promise<number> {
  let parsed: { values: Values; positionals: string[] };
  try {
    parsed = parseArgs({ args: [...argv], options, allowPositionals: true });
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
  const { values } = parsed;
  const [name, ...rest] = parsed.positionals;
  const short = shortAnswer(values.version ? ['--version'] : values.help ? ['--help'] : argv);
  if (short !== null) {
    terminal.stdout.write(short);
    return 0;
  }
  if (name === undefined) throw new UsageError('Expected a command: note, hear, totals, export ...');
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (command === undefined) {
    throw new UsageError(`There is no command "${name}". There are: ${Object.keys(commands).join(', ')}.`);
  }
  const alien = Object.keys(values).find((option) => !(command.takes as readonly string[]).includes(option));
  if (alien !== undefined) throw new UsageError(`"stemsay ${name}" takes no --${alien}.`);
  if (!command.more && rest.length > 0) throw new UsageError(`"stemsay ${name}" takes no "${rest[0]}".`);
  return command.run(rest, values, terminal);
}
