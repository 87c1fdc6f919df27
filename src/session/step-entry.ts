// Where in the bar a step is entered.

export type StepEntry =
  | { readonly kind: 'free' }
  /** On the beat of that number in the bar, or so large a share of a beat after it. */
  | { readonly kind: 'beat'; readonly place: number; readonly share: number }
  /** After a lead-in whose clicks know no bars. */
  | { readonly kind: 'lead-in' };
