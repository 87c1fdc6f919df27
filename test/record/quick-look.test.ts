import * as fc from 'fast-check';
import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { quickLook } from '../../src/record/quick-look.ts';

/** Every kind of schema that the record's are made of; what they accept is valibot's to say. */
const SCHEMAS: Readonly<Record<string, v.GenericSchema>> = {
  unknown: v.unknown(),
  string: v.string(),
  boolean: v.boolean(),
  number: v.number(),
  literal: v.literal(2),
  picklist: v.picklist(['a', 'b']),
  custom: v.custom<number>((value) => value === 1),
  integer: v.pipe(v.number(), v.integer()),
  finite: v.pipe(v.number(), v.finite()),
  between: v.pipe(v.number(), v.minValue(0), v.maxValue(2)),
  length: v.pipe(v.string(), v.length(2)),
  'at least so long': v.pipe(v.array(v.number()), v.minLength(1)),
  regex: v.pipe(v.string(), v.regex(/^a+$/)),
  hexadecimal: v.pipe(v.string(), v.hexadecimal()),
  array: v.array(v.boolean()),
  strict: v.strictObject({ a: v.number(), b: v.exactOptional(v.string()) }),
  loose: v.looseObject({ a: v.number(), b: v.exactOptional(v.string()) }),
  variant: v.variant('a', [
    v.strictObject({ a: v.literal('a'), b: v.string() }),
    v.strictObject({ a: v.literal('b') }),
  ]),
  nested: v.strictObject({ a: v.array(v.strictObject({ b: v.picklist(['a', 'b']) })) }),
};

const plain = fc.oneof(
  fc.constantFrom(0, 1, 2, 3, -1, 0.5, Number.POSITIVE_INFINITY, Number.NaN, null, undefined, true, false),
  fc.constantFrom('', 'a', 'aa', 'b', 'ab', 'g', 'length'),
);
const value = fc.letrec((tie) => ({
  any: fc.oneof(
    { maxDepth: 3 },
    { weight: 3, arbitrary: plain },
    fc.array(tie('any'), { maxLength: 3 }),
    fc.dictionary(fc.constantFrom('a', 'b', 'c'), tie('any'), { maxKeys: 3 }),
  ),
})).any;

describe('a quick look', () => {
  it.each(Object.entries(SCHEMAS))('finds that a value fits just where valibot does: %s', (_, schema) => {
    const look = quickLook(schema);
    fc.assert(fc.property(value, (one) => look(one) === v.is(schema, one)));
  });

  it('is not made of what it does not know', () => {
    expect(() => quickLook(v.date())).toThrow('date');
    expect(() => quickLook(v.pipe(v.string(), v.email()))).toThrow('email');
  });
});
