/**
 * The first minute: three steps to a first height (pace, eye, tree), each to be said, typed into a field, or walked.
 * They stay under the newest answer until they are done, or are put away by who needs them not.
 */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { LengthUnit } from '../../shared/core/units.ts';
import type { NoteOf } from '../../shared/note/note.ts';
import * as wording from '../../shared/wording/wording.ts';
import { ChoiceControl, NumberField, NumberForm, numberOf } from './controls.tsx';
import { usePage } from './page.tsx';

type Set = NoteOf<'setting'>['set'];

/** Feet, or metres, of the walk that is proposed. */
const walks = { feet: 100, metres: 30 } as const;

export function FirstSteps() {
  const { conversation, prefs, setPrefs } = usePage();
  const { settings, book } = conversation;
  const tree = firstHeight(book.trees());
  const done = [settings.pace !== null, settings.eye !== null, tree !== null];
  const left = done.filter((one) => !one).length;
  if (left === 0) return null;
  if (prefs.stepsAway)
    return (
      <p class="steps away">
        <button type="button" onClick={() => setPrefs({ stepsAway: false })}>
          First steps: {left} left
        </button>
      </p>
    );
  const now = done.indexOf(false);
  const { units } = settings;
  return (
    <section class="steps" aria-label="First steps">
      <h2>{conversation.lines.length === 0 ? 'Three steps to your first height' : 'Your next step'}</h2>
      <ol>
        <Step
          name="1. Your pace"
          open={now === 0}
          done={settings.pace && `${wording.paceLength(settings.pace.feet, units)}.`}
        >
          <PaceStep />
        </Step>
        <Step
          name="2. The height of your eye"
          open={now === 1}
          done={settings.eye && `${wording.eyeHeight(settings.eye.feet, units)}.`}
        >
          <EyeStep />
        </Step>
        <Step name="3. A first tree" open={now === 2} done={tree === null ? null : `tree ${tree}.`}>
          <TreeStep />
        </Step>
      </ol>
      <p class="buttons">
        {!conversation.parts.apart && (
          <a class="button" href="./?practice">
            Try it in a practice book
          </a>
        )}
        <button type="button" onClick={() => setPrefs({ stepsAway: true })}>
          Put these away
        </button>
      </p>
    </section>
  );
}

/** Number of a tree that has a height, null for none. */
function firstHeight(
  trees: Iterable<{ readonly number: number; readonly heightFt: number | null }>,
): number | null {
  for (const { number, heightFt } of trees) if (heightFt !== null) return number;
  return null;
}

function Step(props: {
  readonly name: string;
  readonly open: boolean;
  readonly done: string | null | undefined;
  readonly children: ComponentChildren;
}) {
  return (
    <li class={props.open ? 'now' : ''} aria-current={props.open ? 'step' : undefined}>
      <p class="name">
        {props.name}
        {props.done && (
          <span>
            {' '}
            <b>done</b>: {props.done}
          </span>
        )}
      </p>
      {props.open && props.children}
    </li>
  );
}

/** Sets something as a button does: what it means is certain. */
function useSetting(): { readonly unit: LengthUnit; readonly name: string; set(what: Set): void } {
  const { conversation } = usePage();
  const metric = conversation.settings.units === 'metres';
  return {
    unit: metric ? 'm' : 'ft',
    name: metric ? 'metres' : 'feet',
    set: (what) => void conversation.do({ kind: 'setting', set: what }),
  };
}

function PaceStep() {
  const { conversation } = usePage();
  const { unit, name, set } = useSetting();
  const { units, counting } = conversation.settings;
  const walk = walks[units];
  const counted = counting === 'steps' ? 'single steps' : 'paces, two steps each';
  return (
    <>
      <p>
        Walk {walk} {name} as you walk in the woods and count your {counted}.
      </p>
      <NumberForm
        fields={{ count: { label: `Counted in ${walk} ${name}` } }}
        button="That was it"
        onNumbers={({ count }) => set({ what: 'walk', count, of: counting, length: { value: walk, unit } })}
      />
      <NumberForm
        fields={{ pace: { label: `Or your pace, ${name}` } }}
        onNumbers={({ pace }) => set({ what: 'pace', length: { value: pace, unit } })}
      />
      <ChoiceControl
        legend="Units"
        value={units}
        options={[
          ['feet', 'feet and inches'],
          ['metres', 'metres'],
        ]}
        onPick={(chosen) => set({ what: 'units', units: chosen })}
      />
      <Say
        words={units === 'metres' ? 'my pace is one point six metres' : 'my pace is five point two feet'}
      />
    </>
  );
}

function EyeStep() {
  const { unit, set } = useSetting();
  const metric = unit === 'm';
  const eye = (value: number) => set({ what: 'eye', length: { value, unit } });
  return (
    <>
      <p>From the ground to your eye, in the boots you wear.</p>
      {metric ? (
        <NumberForm
          fields={{ metres: { label: 'Eye height, metres' } }}
          onNumbers={({ metres }) => eye(metres)}
        />
      ) : (
        <NumberForm
          fields={{ feet: { label: 'Feet' }, inches: { label: 'Inches', ifEmpty: 0 } }}
          onNumbers={({ feet, inches }) => eye(feet + inches / 12)}
        />
      )}
      <Say words={metric ? 'eye height one point six five metres' : 'eye height five foot four'} />
    </>
  );
}

function TreeStep() {
  const { conversation } = usePage();
  const metric = conversation.settings.units === 'metres';
  const [kind, setKind] = useState('');
  const [thick, setThick] = useState('');
  const [count, setCount] = useState('');
  const paces = numberOf(count);
  const counted = conversation.settings.counting;
  return (
    <>
      <p>
        Take a stick as long as your reach. Hold it upright at arm's length, its lower end at the height of
        your eye. Walk back until its tip meets the top of the tree; then count the {counted} to the stem.
      </p>
      <p class="caution">
        Stop before you look up. Look overhead for hung limbs before you stand under a tree.
      </p>
      <form
        class="fields"
        onSubmit={(event) => {
          event.preventDefault();
          if (paces === null) return;
          const tree = [
            kind.trim(),
            numberOf(thick) === null ? '' : `${numberOf(thick)} ${metric ? 'centimetres' : 'inches'}`,
          ].filter((part) => part !== '');
          void (async () => {
            if (tree.length > 0) await conversation.say(tree.join(' '));
            await conversation.say(`${paces} ${counted}`);
          })();
        }}
      >
        <label>
          What tree (or leave it)
          <input
            value={kind}
            autocomplete="off"
            autocapitalize="none"
            placeholder="red oak"
            onInput={(event) => setKind(event.currentTarget.value)}
          />
        </label>
        <NumberField
          label={metric ? 'Diameter, cm (or leave it)' : 'Diameter, inches (or leave it)'}
          value={thick}
          onValue={setThick}
        />
        <NumberField label={`Counted ${counted}`} value={count} onValue={setCount} />
        <button type="submit" disabled={paces === null}>
          Height
        </button>
      </form>
      <Say words={metric ? 'red oak forty centimetres' : 'red oak sixteen inches'} then="eight paces" />
    </>
  );
}

/** How the same is said; in the practice book a touch says it. */
function Say({ words, then }: { readonly words: string; readonly then?: string }) {
  const { conversation } = usePage();
  if (conversation.parts.apart)
    return (
      <p class="buttons">
        <button
          type="button"
          onClick={async () => {
            await conversation.say(words);
            if (then !== undefined) await conversation.say(then);
          }}
        >
          Say it for me: <q>{then === undefined ? words : `${words}; ${then}`}</q>
        </button>
      </p>
    );
  return (
    <p>
      Or hold the button below and say <q>{words}</q>
      {then !== undefined && (
        <>
          , then <q>{then}</q>
        </>
      )}
      .
    </p>
  );
}
