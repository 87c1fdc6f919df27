// The digits that work the keys, as a player calls them. The side of the right index finger and the left palm work keys
// of the saxophone, and count as digits of their own: they move while the fingers stay.

export type Hand = 'left' | 'right';

export type Digit =
  | `${Hand} thumb`
  | `${Hand} index finger`
  | `${Hand} middle finger`
  | `${Hand} ring finger`
  | `${Hand} little finger`
  | 'left palm'
  | 'right side';

export function handOf(digit: Digit): Hand {
  return digit.startsWith('left') ? 'left' : 'right';
}
