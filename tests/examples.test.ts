/**
 * Runs every example in the comments of the sources, so that none is untrue. Two ways to write one:
 *
 * - a block behind `@example`: code, line by line; what stands behind `//` is what the expression before it gives;
 * - in a sentence: "Example: `expression === value`", or "`expression` is value".
 *
 * A value is JavaScript (compared as printed: 2.75 holds for 2.7512), or "about" a number (within 2 %), or "near" one
 * (within 0.05). Names are the exports of the file; an example may begin with import lines of its own.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { transformSync } from 'esbuild';
import { describe, expect, test } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

/** Files that cannot be loaded here, as they need a browser or start a process. */
const elsewhere =
  /^client\/|\.child\.ts$|server\/(main|build)\.ts$|server\/speech\/(worker|writer)\.ts$|server\/commands\/(main|demo)\.ts$|training\//;

interface Example {
  readonly file: string;
  readonly line: number;
  readonly code: string;
}

const sources = ['shared', 'grammar', 'server'].flatMap((folder) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(folder, name)),
);

function examplesOf(file: string): Example[] {
  const text = readFileSync(join(root, file), 'utf8');
  const found: Example[] = [];
  for (const comment of text.matchAll(/\/\*\*[\s\S]*?\*\//g)) {
    const line = text.slice(0, comment.index).split('\n').length;
    const lines = comment[0]
      .replace(/^\/\*\*|\*\/$/g, '')
      .split('\n')
      .map((one) => one.replace(/^\s*\* ?/, ''));
    const block = /@example([\s\S]*?)(?=\n\s*@\w|$)/.exec(lines.join('\n'));
    if (block !== null) found.push({ file, line, code: block[1]!.trim() });
    const sentence = lines.join(' ');
    for (const [, expression, value] of sentence.matchAll(/`([^`]+?) === ([^`]+)`/g))
      if (isCall(expression!)) found.push({ file, line, code: `${expression} // ${value}` });
    for (const [, expression, value] of sentence.matchAll(
      /`([^`]+)` (?:is|gives) (-?[\d.]+(?:\/\d+)?|`[^`]+`)(?=[\s.,;]|$)/g,
    ))
      if (isCall(expression!))
        found.push({ file, line, code: `${expression} // ${value!.replaceAll('`', '').replace(/\.$/, '')}` });
  }
  return found;
}

const isCall = (expression: string): boolean => /^\w+\(.*\)/.test(expression);

type Step = { readonly code: string; readonly value: string | null };

function stepsOf(code: string): { imports: string[]; steps: Step[] } {
  const imports: string[] = [];
  const steps: Step[] = [];
  for (const line of code.split('\n')) {
    if (/^import /.test(line)) imports.push(line);
    else if (line.trim() !== '' && !/^\/\//.test(line.trim())) {
      const at = line.search(/\s\/\/ /);
      steps.push(
        at < 0 ? { code: line, value: null } : { code: line.slice(0, at), value: line.slice(at + 4) },
      );
    }
  }
  return { imports, steps };
}

async function runExample({ file, code }: Example): Promise<void> {
  const { imports, steps } = stepsOf(code);
  const names: Record<string, unknown> = { ...(await import(pathToFileURL(join(root, file)).href)) };
  for (const line of imports) {
    const [, what, from] = /^import \{([^}]+)\} from '([^']+)'/.exec(line) ?? [];
    const module = await import(pathToFileURL(join(root, dirname(file), from!)).href);
    for (const name of what!.split(',').map((one) => one.trim())) names[name] = module[name];
  }
  const checks: { readonly found: unknown; readonly value: string }[] = [];
  const body = steps
    .map(({ code: text, value }) =>
      value === null
        ? text
        : `__check(await (${text.trim().replace(/;$/, '')}), ${JSON.stringify(value.trim())});`,
    )
    .join('\n');
  const run = transformSync(`return (async () => {${body}\n})()`.replace(/^return /, ''), {
    loader: 'ts',
  }).code;
  const make = new Function('__check', ...Object.keys(names), `return ${run.trim().replace(/;$/, '')}`);
  await make((found: unknown, value: string) => checks.push({ found, value }), ...Object.values(names));
  for (const { found, value } of checks) compare(found, value);
}

function compare(found: unknown, value: string): void {
  const about = /^(about|near) (-?[\d.]+)$/.exec(value);
  if (about !== null) {
    const wanted = Number(about[2]);
    const room = about[1] === 'near' ? 0.05 : Math.abs(wanted) * 0.02;
    expect(Math.abs((found as number) - wanted)).toBeLessThanOrEqual(room);
    return;
  }
  const wanted: unknown = new Function(`return (${value})`)();
  const decimals = /^-?\d+\.(\d+)$/.exec(value)?.[1]?.length;
  if (typeof wanted === 'number' && decimals !== undefined) {
    // As printed: half a unit of the last digit.
    expect(Math.abs((found as number) - wanted)).toBeLessThanOrEqual(Math.max(1e-12, 0.51 * 10 ** -decimals));
  } else if (typeof wanted === 'number') expect(found as number).toBeCloseTo(wanted, 9);
  else if (typeof wanted === 'object' && wanted !== null) expect(found).toMatchObject(wanted);
  else expect(found).toBe(wanted);
}

const examples = sources.filter((file) => !elsewhere.test(file)).flatMap(examplesOf);

describe('examples in comments are true', () => {
  test('there are many', () => expect(examples.length).toBeGreaterThan(50));

  test.each(examples)('$file:$line', runExample);
});
