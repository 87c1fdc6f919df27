// The gate: so many clean takes in a row, then the next step. Never on anything else.

export interface Gate {
  /** Clean takes in a row that open it, 1 or more. 3 by default: common practice (3, 5 or 7), no source fixes it. */
  readonly passes: number;
  readonly cleanInARow: number;
  /** Takes in a row that were not clean: what the coach looks at before it says "slower". */
  readonly missesInARow: number;
}

export function closedGate(passes: number): Gate {
  return { passes, cleanInARow: 0, missesInARow: 0 };
}

/** One take more. A take that is not clean starts the count anew. */
export function countTake(gate: Gate, clean: boolean): Gate {
  return clean
    ? { ...gate, cleanInARow: gate.cleanInARow + 1, missesInARow: 0 }
    : { ...gate, cleanInARow: 0, missesInARow: gate.missesInARow + 1 };
}

export function isOpen(gate: Gate): boolean {
  return gate.cleanInARow >= gate.passes;
}
