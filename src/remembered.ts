// What was worked out last for each of many things, so that what is dear is not worked out twice. It is forgotten with
// the thing itself, and changes no result, only how long it takes.

export class Remembered<Thing extends object, Result extends object> {
  readonly #last = new WeakMap<Thing, { readonly from: readonly unknown[]; readonly result: Result }>();

  /** `from`: all that decides the result besides the thing. Undefined where it was worked out from something else. */
  known(thing: Thing, from: readonly unknown[] = []): Result | undefined {
    const last = this.#last.get(thing);
    const isSame = last?.from.length === from.length && last.from.every((one, i) => Object.is(one, from[i]));
    return isSame ? last.result : undefined;
  }

  keep(thing: Thing, result: Result, from: readonly unknown[] = []): Result {
    this.#last.set(thing, { from, result });
    return result;
  }

  /** Before the thing itself is gone. */
  forget(thing: Thing): void {
    this.#last.delete(thing);
  }
}
