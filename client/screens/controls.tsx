/** Controls that screens are made of: one of several, on or off, a number, a species of the book. */
import type { ComponentChildren } from 'preact';
import { useMemo, useState } from 'preact/hooks';
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

interface NumberAsked {
  readonly label: string;
  readonly placeholder?: string;
  /** What it is where nothing is typed; without it the number is needed. */
  readonly ifEmpty?: number;
  /** Emptied once it was given, as another of the kind may follow. */
  readonly emptied?: boolean;
}

/** A form of numbers, sent when all that are needed are there. */
export function NumberForm<K extends string>(props: {
  readonly fields: Readonly<Record<K, NumberAsked>>;
  readonly button?: string;
  readonly onNumbers: (numbers: Readonly<Record<K, number>>) => void;
  /** What else is chosen, before the fields. */
  readonly children?: ComponentChildren;
}) {
  const [typed, setTyped] = useState<Partial<Record<K, string>>>({});
  const asked = Object.entries(props.fields) as [K, NumberAsked][];
  const numbers: Partial<Record<K, number>> = {};
  for (const [name, { ifEmpty }] of asked) {
    const number = numberOf(typed[name] ?? '') ?? ifEmpty;
    if (number !== undefined) numbers[name] = number;
  }
  const isWhole = (all: Partial<Record<K, number>>): all is Record<K, number> =>
    asked.every(([name]) => all[name] !== undefined);
  return (
    <form
      class="fields"
      onSubmit={(event) => {
        event.preventDefault();
        if (!isWhole(numbers)) return;
        props.onNumbers(numbers);
        setTyped(
          Object.fromEntries(
            asked.map(([name, { emptied }]) => [name, emptied ? '' : typed[name]]),
          ) as typeof typed,
        );
      }}
    >
      {props.children}
      {asked.map(([name, { label, placeholder }]) => (
        <NumberField
          key={name}
          label={label}
          value={typed[name] ?? ''}
          placeholder={placeholder ?? ''}
          onValue={(value) => setTyped({ ...typed, [name]: value })}
        />
      ))}
      <button type="submit" disabled={!isWhole(numbers)}>
        {props.button ?? 'Set'}
      </button>
    </form>
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
