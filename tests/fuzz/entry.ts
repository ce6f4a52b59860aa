/** What the fuzzer loads, bundled by `run.ts`: one target, by the name in FUZZ_TARGET. */
import { type Target, type TargetName, targets } from './targets.ts';

export const { fuzz, seeds, blind }: Target = targets[process.env.FUZZ_TARGET as TargetName]();
