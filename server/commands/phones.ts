/** `stemsay phones`: the phones that may come in, and putting one out; works while the server runs. */
import { type Phones, phonesLetIn } from '../access/phones.ts';
import { ago, dayOf } from '../access/start-page.ts';
import { bookNamed, RefusedError, type Terminal, UsageError, type Values } from './terminal.ts';

/** Lists the phones; with `out NAME` puts one out, by its name or its id. */
export function phonesCommand(rest: readonly string[], values: Values, terminal: Terminal): number {
  const known = phonesLetIn(bookNamed(values, 'phones'), () => terminal.now());
  const [verb, ...names] = rest;
  if (verb === undefined) return list(known, values, terminal);
  if (verb !== 'out' || names.length === 0)
    throw new UsageError(
      `Expected "stemsay phones" or "stemsay phones out NAME", found "${rest.join(' ')}".`,
    );
  const name = names.join(' ');
  const removed = known.remove(name);
  if (removed === null)
    throw new RefusedError(`There is no phone "${name}" here. "stemsay phones" lists those that are.`);
  terminal.stdout.write(`${removed} is put out: it keeps its notes and sends nothing more.\n`);
  return 0;
}

function list(known: Phones, { json }: Values, terminal: Terminal): number {
  const { phones, damaged } = known.list();
  if (json) {
    terminal.stdout.write(`${JSON.stringify({ phones, damaged })}\n`);
    return 0;
  }
  if (phones.length + damaged.length === 0) terminal.stdout.write('No phone may come in.\n');
  for (const { id, name, made, seen } of phones)
    terminal.stdout.write(`${id}  ${name}, let in ${dayOf(made)}, last here ${ago(terminal.now() - seen)}\n`);
  for (const id of damaged) terminal.stdout.write(`${id}  cannot be read; it stays out\n`);
  return damaged.length === 0 ? 0 : 1;
}
