/** The trees of the book as a table; a touch on one shows what was said of it. */
import { useMemo, useState } from 'preact/hooks';
import type { Tree } from '../../shared/book/tree-records.ts';
import { centimetresPerInch, metresPerFoot } from '../../shared/core/units.ts';
import * as wording from '../../shared/wording/wording.ts';
import { usePage } from './page.tsx';
import type { BookFilter } from './row-search.ts';

const page = 100;

export function TreeTable({ filter }: { readonly filter: BookFilter }) {
  const { conversation } = usePage();
  const { book } = conversation;
  const [limit, setLimit] = useState(page);
  const doubted = useMemo(
    () => new Set(book.doubts.flatMap(({ state, tree }) => (state === 'open' && tree ? [tree] : []))),
    [conversation.version],
  );
  const trees = useMemo(
    () => [...book.trees()].filter((tree) => passes(tree, filter, doubted)).reverse(),
    [conversation.version, JSON.stringify(filter)],
  );
  if (trees.length === 0) return <p class="none">No tree like that.</p>;
  const metric = conversation.settings.units === 'metres';
  const thick = (inches: number | null) =>
    inches === null ? '' : (inches * (metric ? centimetresPerInch : 1)).toFixed(1);
  const tall = (feet: number | null, decimals: number) =>
    feet === null ? '' : (feet * (metric ? metresPerFoot : 1)).toFixed(metric ? 1 : decimals);
  return (
    <>
      <p class="sum" role="status">
        {trees.length.toLocaleString('en-US')} {trees.length === 1 ? 'tree' : 'trees'}, newest first. ? is in
        doubt.
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key. */}
      <section class="wide" tabIndex={0} aria-label="Table of trees">
        <table class="trees">
          <thead>
            <tr>
              <th scope="col">tree</th>
              <th scope="col">plot</th>
              <th scope="col">dbh, {metric ? 'cm' : 'in'}</th>
              <th scope="col">height, {metric ? 'm' : 'ft'}</th>
              <th scope="col">
                <span aria-hidden="true">±</span>
                <span class="unseen">give or take</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {trees.slice(0, limit).map((tree) => (
              <tr key={tree.id}>
                <th scope="row">
                  <a class="button" href={`#book/tree/${tree.number}`}>
                    {tree.number}
                    {doubted.has(tree.id) && (
                      <>
                        <b class="doubt" aria-hidden="true">
                          ?
                        </b>
                        <span class="unseen"> in doubt</span>
                      </>
                    )}{' '}
                    <span>{tree.species === null ? 'unknown' : wording.speciesName(tree.species)}</span>
                    {tree.status !== 'live' && <small>, {tree.status}</small>}
                  </a>
                </th>
                <td>{book.plot(tree.plot)?.number ?? '–'}</td>
                <td>{thick(tree.diameterIn)}</td>
                <td>{tall(tree.heightFt, 0)}</td>
                <td>{tall(tree.heightSdFt, 1)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {trees.length > limit && (
        <button type="button" onClick={() => setLimit(limit + page)}>
          Show earlier ones
        </button>
      )}
    </>
  );
}

function passes(tree: Tree, filter: BookFilter, doubted: ReadonlySet<string>): boolean {
  if (filter.plot !== undefined && tree.plot !== filter.plot) return false;
  if (filter.species !== undefined && tree.species !== filter.species) return false;
  if (filter.tree !== undefined && tree.number !== filter.tree) return false;
  if (filter.doubt && !doubted.has(tree.id)) return false;
  const text = ` ${tree.number} ${tree.species === null ? 'unknown' : wording.speciesName(tree.species)} ${tree.status} ${tree.marks.join(' ')}`;
  return (filter.find ?? '')
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(` ${word}`));
}
