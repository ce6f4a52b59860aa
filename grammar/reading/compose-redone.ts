/** "Do it again then, 74 percent, foot minus six", "redo that: 31 paces": the new height in the same breath takes the place of the old. */
import { heightDraft } from './compose-heights.ts';
import { behindRedo } from './compose-redo.ts';
import { anglesDraft } from './compose-sights.ts';
import type { Draft, Scan } from './scan.ts';

export function redoneDraft(scan: Scan): Draft | undefined {
  const rest = behindRedo(scan);
  const draft = rest && (heightDraft(rest) ?? anglesDraft(rest));
  if (rest === undefined || draft === undefined) return undefined;
  const from = scan.pieces.length - rest.pieces.length;
  const redo = { kind: 'answer', answer: 'redo' } as const;
  return {
    ...draft,
    notes: [redo, ...draft.notes],
    ...(draft.other === undefined ? {} : { other: [redo, ...draft.other] }),
    used: new Set([...scan.pieces.keys()].filter((at) => at < from || draft.used.has(at - from))),
    against: draft.against - 0.2,
  };
}
