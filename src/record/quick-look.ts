// A schema as one plain question: does this value fit? Valibot makes an object of its own for every value that it looks at,
// so that it can say what is wrong with it; of the millions of values in a class's returns hardly one is wrong. Where the
// answer is no, the schema itself is asked why.

import type * as v from 'valibot';

/** Whether the schema would take the value, and as it is. */
type QuickLook = (value: unknown) => boolean;

interface Schema {
  readonly type: string;
  readonly pipe?: readonly [Schema, ...Validation[]];
  readonly entries?: Readonly<Record<string, Schema>>;
  readonly item?: Schema;
  readonly wrapped?: Schema;
  readonly literal?: unknown;
  readonly options?: readonly unknown[];
  readonly check?: QuickLook;
}

interface Validation {
  readonly type: string;
  readonly requirement: unknown;
}

/** Throws, when it is made, on a kind of schema that is not known here. */
export function quickLook(schema: v.GenericSchema): QuickLook {
  return lookOf(schema as unknown as Schema);
}

function lookOf(schema: Schema): QuickLook {
  const look = lookOfKind(schema);
  if (!schema.pipe) return look;
  const looks = [
    look,
    ...schema.pipe.slice(1).map(lookOfValidation as (one: Schema | Validation) => QuickLook),
  ];
  return (value) => looks.every((one) => one(value));
}

function lookOfKind(schema: Schema): QuickLook {
  switch (schema.type) {
    case 'unknown':
      return () => true;
    case 'string':
    case 'boolean':
      return (value) => typeof value === schema.type;
    case 'number':
      return (value) => typeof value === 'number' && !Number.isNaN(value);
    case 'literal':
      return (value) => value === schema.literal;
    case 'picklist':
      return (value) => schema.options!.includes(value);
    case 'custom':
      return schema.check!;
    case 'array': {
      const item = lookOf(schema.item!);
      return (value) => Array.isArray(value) && value.every(item);
    }
    case 'variant': {
      const looks = (schema.options as readonly Schema[]).map(lookOf);
      return (value) => looks.some((look) => look(value));
    }
    case 'loose_object':
    case 'strict_object':
      return lookOfObject(schema.entries!, schema.type === 'strict_object');
    default:
      throw new Error(`No quick look at a schema of ${schema.type}`);
  }
}

function lookOfObject(entries: Readonly<Record<string, Schema>>, isStrict: boolean): QuickLook {
  const looks = new Map(Object.entries(entries).map(([key, one]) => [key, lookOf(one.wrapped ?? one)]));
  const needed = Object.keys(entries).filter((key) => entries[key]!.type !== 'exact_optional');
  return (value) => {
    if (typeof value !== 'object' || value === null) return false;
    const found = value as Readonly<Record<string, unknown>>;
    for (const key of needed) if (!(key in found)) return false;
    for (const key in found) {
      const look = looks.get(key);
      if (look ? !look(found[key]) : isStrict) return false;
    }
    return true;
  };
}

function lookOfValidation({ type, requirement }: Validation): QuickLook {
  switch (type) {
    case 'integer':
    case 'finite':
      return requirement as QuickLook;
    case 'min_value':
      return (value) => (value as number) >= (requirement as number);
    case 'max_value':
      return (value) => (value as number) <= (requirement as number);
    case 'length':
      return (value) => (value as string).length === requirement;
    case 'min_length':
      return (value) => (value as string).length >= (requirement as number);
    case 'regex':
    case 'hexadecimal':
      return (value) => (requirement as RegExp).test(value as string);
    default:
      throw new Error(`No quick look at the validation ${type}`);
  }
}
