/** Stand, plot and tree in hand: what the next note belongs to, on every screen. */
import { speciesKey } from '../../shared/totals/types.ts';
import { speciesName } from '../../shared/wording/wording.ts';
import { usePage } from './page.tsx';

export function InHand() {
  const { conversation } = usePage();
  const { book } = conversation;
  const hand = book.deviceState(conversation.device);
  const tree = book.tree(hand.tree);
  const stand = book.standOf(conversation.device);
  const plot = book.plot(hand.plot);
  const key = tree ? speciesKey(tree) : null;
  const species = key === null ? undefined : speciesName(key);
  const followed = stand && book.followedBy(conversation.device);
  // A tree that is on no plot counts in no total of a stand that is sampled by plots.
  const astray = tree && !plot && hasAny(book.plots());
  return (
    <p class="inhand">
      <span class="stand">
        {followed && <Follows whom={book.settingsOf(followed).person} />}
        {stand ? <span class="named">{stand.name}</span> : 'No stand yet'}
      </span>
      <span class={astray ? 'plot astray' : 'plot'}>
        {plot ? `plot ${plot.number}` : astray ? 'On no plot' : 'no plot'}
      </span>
      <span class="tree">
        {tree ? (
          <>
            <span class="number">tree {tree.number}</span>
            {species && <span class="kind">, {species}</span>}
          </>
        ) : (
          'no tree in hand'
        )}
      </span>
    </p>
  );
}

/** Before a stand that another phone named, and may change. */
function Follows({ whom }: { readonly whom: string | null }) {
  return <>With {whom === null ? 'another phone' : <span class="named">{whom}</span>}: </>;
}

function hasAny(items: Iterable<unknown>): boolean {
  for (const _ of items) return true;
  return false;
}
