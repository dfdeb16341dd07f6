/**
 * Whether a part of the page would look as it does. Most of what a component is given is made anew
 * for every drawing (states come from another thread as copies), so `memo` compares by content.
 */
import { isValidElement } from 'react';

type Fields = { readonly [name: string]: unknown };

function sameFields(one: Fields, other: Fields): boolean {
  const names = Object.keys(one);
  if (names.length !== Object.keys(other).length) return false;
  return names.every((name) => sameContent(one[name], other[name]));
}

function isFields(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null;
}

/** Plain data and elements by what they hold, functions by identity. */
export function sameContent(one: unknown, other: unknown): boolean {
  if (Object.is(one, other)) return true;
  if (!isFields(one) || !isFields(other)) return false;
  if (isValidElement<Fields>(one)) {
    if (!isValidElement<Fields>(other)) return false;
    return one.type === other.type && one.key === other.key && sameFields(one.props, other.props);
  }
  return Array.isArray(one) === Array.isArray(other) && sameFields(one, other);
}
