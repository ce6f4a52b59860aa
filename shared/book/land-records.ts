/**
 * Walks, edges, plans and places as their entries left them. Few are said of a stand, so they are put together anew from
 * what stands when somebody asks; what they come to (closing, area, ways) is reckoned in `shared/land` where it is needed.
 */

import type { Act, SavedLeg } from '../note/acts.ts';
import type { DeviceId } from '../note/journal.ts';
import type { Scene } from './scene.ts';

type ActOf<A extends Act['act']> = Extract<Act, { act: A }>;
/** Acts that are kept here. */
const kept = [
  'traverse',
  'leg',
  'legAmend',
  'walkEnd',
  'edge',
  'plan',
  'place',
  'way',
  'around',
  'price',
] as const;
type LandAct = ActOf<(typeof kept)[number]>;
export const isLandAct = (act: Act): act is LandAct => (kept as readonly string[]).includes(act.act);

export interface WalkLeg {
  readonly id: string;
  readonly entry: string;
  readonly number: number;
  /** On which it was said, and where on the settings line: with the pace of who speaks there. */
  readonly device: DeviceId;
  readonly point: number;
  readonly said: SavedLeg;
}

export interface EdgeWalk {
  readonly id: string;
  readonly stand: string | null;
  readonly stratum: string | null;
  readonly device: DeviceId;
  readonly closed: boolean;
  /** By number; one that was taken back leaves its number free. */
  readonly legs: readonly WalkLeg[];
}

/** Places and ways of a device, in order. */
export type Trail = { readonly entry: string; readonly act: ActOf<'place' | 'way' | 'around'> };

interface Said {
  readonly scene: Pick<Scene, 'entry' | 'device'>;
  readonly point: number;
  readonly act: LandAct;
}

interface View {
  readonly walks: ReadonlyMap<string, EdgeWalk>;
  readonly edges: readonly ActOf<'edge'>[];
  readonly plans: readonly ActOf<'plan'>[];
  readonly prices: readonly ActOf<'price'>[];
  readonly trails: ReadonlyMap<string, readonly Trail[]>;
}

export class LandRecords {
  readonly #said: Said[] = [];
  #view: View | null = null;

  /** `stands`: whether an entry was not taken back. */
  constructor(private readonly stands: (entry: string) => boolean) {}

  add({ entry, device }: Scene, point: number, act: LandAct): void {
    this.#said.push({ scene: { entry, device }, point, act });
    this.#view = null;
  }

  /** Something was taken back, or put back. */
  again(): void {
    this.#view = null;
  }

  get any(): boolean {
    return this.#said.length > 0;
  }

  get walks(): ReadonlyMap<string, EdgeWalk> {
    return this.#now.walks;
  }

  get edges(): readonly ActOf<'edge'>[] {
    return this.#now.edges;
  }

  get plans(): readonly ActOf<'plan'>[] {
    return this.#now.plans;
  }

  get prices(): readonly ActOf<'price'>[] {
    return this.#now.prices;
  }

  trail(device: DeviceId): readonly Trail[] {
    return this.#now.trails.get(device) ?? [];
  }

  leg(id: string): WalkLeg | null {
    for (const { legs } of this.walks.values()) {
      const found = legs.find((leg) => leg.id === id);
      if (found) return found;
    }
    return null;
  }

  /** The leg of a number that was taken back last from a walk: the entry that said it. */
  takenBackLeg(walk: string, number: number): string | null {
    const found = this.#said.findLast(
      ({ scene, act }) =>
        act.act === 'leg' && act.walk === walk && act.number === number && !this.stands(scene.entry),
    );
    return found?.scene.entry ?? null;
  }

  /** The entry that closed a walk. */
  endOf(walk: string): string | null {
    const found = this.#said.findLast(
      ({ scene, act }) => act.act === 'walkEnd' && act.walk === walk && this.stands(scene.entry),
    );
    return found?.scene.entry ?? null;
  }

  get #now(): View {
    this.#view ??= this.#look();
    return this.#view;
  }

  #look(): View {
    const walks = new Map<string, EdgeWalk & { closed: boolean; readonly byNumber: Map<number, WalkLeg> }>();
    const legs = new Map<string, { readonly walk: string; readonly number: number }>();
    const edges: ActOf<'edge'>[] = [];
    const plans: ActOf<'plan'>[] = [];
    const prices: ActOf<'price'>[] = [];
    const trails = new Map<string, Trail[]>();
    for (const { scene, point, act } of this.#said) {
      const { entry, device } = scene;
      if (!this.stands(entry)) continue;
      switch (act.act) {
        case 'traverse': {
          const { id, stand, stratum } = act;
          walks.set(id, { id, stand, stratum, device, closed: false, legs: [], byNumber: new Map() });
          break;
        }
        case 'leg': {
          const { id, walk, number, leg } = act;
          legs.set(id, { walk, number });
          walks.get(walk)?.byNumber.set(number, { id, entry, number, device, point, said: leg });
          break;
        }
        case 'legAmend': {
          const at = legs.get(act.target);
          const of = at && walks.get(at.walk)?.byNumber;
          const leg = at && of?.get(at.number);
          if (of && leg && leg.id === act.target) of.set(leg.number, { ...leg, said: act.leg });
          break;
        }
        case 'walkEnd': {
          const walk = walks.get(act.walk);
          if (walk) walk.closed = true;
          break;
        }
        case 'edge':
          edges.push(act);
          break;
        case 'plan':
          plans.push(act);
          break;
        case 'price':
          prices.push(act);
          break;
        default: {
          const trail = trails.get(device);
          if (trail) trail.push({ entry, act });
          else trails.set(device, [{ entry, act }]);
        }
      }
    }
    return {
      walks: new Map(
        [...walks].map(([id, { byNumber, ...walk }]) => [
          id,
          { ...walk, legs: [...byNumber.values()].sort((a, b) => a.number - b.number) },
        ]),
      ),
      edges,
      plans,
      prices,
      trails,
    };
  }
}
