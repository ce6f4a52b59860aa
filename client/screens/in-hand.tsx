/** Stand, plot and tree in hand: what the next note belongs to, on every screen. */
import { speciesByCode, spokenName } from '../../shared/note/species.ts';
import { usePage } from './page.tsx';

export function InHand() {
  const { conversation } = usePage();
  const { book } = conversation;
  const hand = book.deviceState(conversation.device);
  const tree = book.tree(hand.tree);
  const plot = book.plot(hand.plot);
  const species =
    tree?.species == null ? undefined : spokenName(speciesByCode(tree.species)?.commonName ?? '');
  // A tree that is on no plot counts in no total of a stand that is sampled by plots.
  const astray = tree !== undefined && plot === undefined && [...book.plots()].length > 0;
  return (
    <p class="inhand">
      <span class="stand">{book.standOf(conversation.device)?.name ?? 'No stand yet'}</span>
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
