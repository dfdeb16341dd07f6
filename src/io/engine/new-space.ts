/**
 * How often a thread's short-lived objects are collected. V8 begins with one megabyte for them and
 * stays there where little survives: a chord leaves 20 to 40 kB, so every thirtieth met a collection
 * of one to five milliseconds. With sixteen it is one in some five hundred.
 */
import { setFlagsFromString } from 'node:v8';

/** Megabytes: the most that V8 would let it grow to by itself. */
const size = 16;

/** For threads that are made from now on; those that run stay as they are. */
export function collectSeldom(): void {
  setFlagsFromString(`--min-semi-space-size=${size}`);
}
