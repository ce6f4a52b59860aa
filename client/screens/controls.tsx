/** Controls that screens are made of: one of several, on or off, a number, a species of the book. */
import { useMemo } from 'preact/hooks';
import { spokenName } from '../../shared/note/species.ts';
import * as wording from '../../shared/wording/wording.ts';
import { usePage } from './page.tsx';

export function ChoiceControl<T extends string>(props: {
  readonly legend: string;
  readonly value: string;
  readonly options: readonly (readonly [T, string])[];
  readonly onPick: (value: T) => void;
}) {
  return (
    <fieldset class="choice">
      <legend>{props.legend}</legend>
      {props.options.map(([value, label]) => (
        <button
          key={value}
          type="button"
          aria-pressed={value === props.value}
          onClick={() => props.onPick(value)}
        >
          {label}
        </button>
      ))}
    </fieldset>
  );
}

export function Switch(props: {
  readonly label: string;
  readonly on: boolean;
  readonly onSet: (on: boolean) => void;
}) {
  return (
    <p class="switch">
      <button type="button" role="switch" aria-checked={props.on} onClick={() => props.onSet(!props.on)}>
        {props.label} <b>{props.on ? 'yes' : 'no'}</b>
      </button>
    </p>
  );
}

/** A number as it is typed; `numberOf` says what it is. */
export function NumberField(props: {
  readonly label: string;
  readonly value: string;
  readonly placeholder?: string;
  readonly onValue: (value: string) => void;
}) {
  return (
    <label>
      {props.label}
      <input
        inputMode="decimal"
        value={props.value}
        placeholder={props.placeholder ?? ''}
        onInput={(event) => props.onValue(event.currentTarget.value)}
      />
    </label>
  );
}

/** One of the species that the book has, by its code as text; "" is all of them. */
export function SpeciesChoice(props: { readonly value: string; readonly onPick: (value: string) => void }) {
  const { conversation } = usePage();
  const present = useMemo(() => speciesIn(conversation.book.trees()), [conversation.version]);
  return (
    <label>
      Species
      <select value={props.value} onChange={(event) => props.onPick(event.currentTarget.value)}>
        <option value="">all</option>
        {present.map((code) => (
          <option key={code} value={String(code)}>
            {wording.speciesName(code)}
          </option>
        ))}
      </select>
    </label>
  );
}

/** Codes of the species that were said, by name. */
export function speciesIn(trees: Iterable<{ readonly species: number | null }>): number[] {
  const codes = new Set<number>();
  for (const { species } of trees) if (species !== null) codes.add(species);
  const name = (code: number): string => spokenName(wording.speciesName(code));
  return [...codes].sort((a, b) => (name(a) < name(b) ? -1 : 1));
}

/** A number as typed, comma or point; null when it is none or not above zero. */
export function numberOf(text: string): number | null {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() !== '' && Number.isFinite(value) && value > 0 ? value : null;
}
