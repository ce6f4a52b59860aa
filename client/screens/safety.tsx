/** The safety page: short, where it is seen before the first tree, and always in Setup. */
import { usePage } from './page.tsx';

export const safetyCautions: readonly string[] = [
  'Stop before you look up. Walk, stop, then look.',
  'Look overhead for hung limbs and dead tops before you stand under a tree.',
  'Keep poles, and yourself, away from power lines.',
  'Stay two tree lengths from anyone who is cutting.',
  'Led by compass and paces, look out for cliffs, water and traffic: dead reckoning knows none of them.',
  'Tell somebody where you walk and when you will be back; carry a map and a light.',
  'An area or an edge by compass and paces is no legal survey: a licensed surveyor decides on boundaries.',
  'A height near a line, a road or a building is never a felling clearance: local rules and licensed practice decide.',
  'Volumes and values are estimates, not a scale or an appraisal.',
];

export function Safety() {
  const { prefs, setPrefs } = usePage();
  return (
    <section class="safety">
      <h2>Before you go in</h2>
      <ul>
        {safetyCautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      {!prefs.safety && (
        <button type="button" onClick={() => setPrefs({ safety: true })}>
          I have read these
        </button>
      )}
    </section>
  );
}
