import { describe, expect, it } from 'vitest';
import { dateOf, dayNumber, dueDay } from '../../src/coaching/due.ts';

const held = (...days: number[]) => days.map((day) => ({ day, held: true }));

describe('the day on which a passage is due again', () => {
  it('is the next day at first, then in growing gaps', () => {
    expect(dueDay(held(0))).toBe(1);
    expect(dueDay(held(0, 1))).toBe(3);
    expect(dueDay(held(0, 1, 3))).toBe(7);
    expect(dueDay(held(0, 1, 3, 7, 15, 31))).toBe(31 + 21);
  });

  it('is the next day again when it did not hold', () => {
    expect(dueDay([...held(0, 1, 3), { day: 7, held: false }])).toBe(8);
    expect(dueDay([...held(0, 1, 3), { day: 7, held: false }, { day: 8, held: true }])).toBe(9);
  });

  it('comes after about a fifth of what is left until the concert, and the day before it at the latest', () => {
    // Cepeda et al. 2008: gaps of about 20 % of the delay for delays of weeks.
    const often = held(0, 1, 3, 7, 15);
    expect(dueDay(often, 15 + 30)).toBe(15 + 6);
    expect(dueDay(often, 15 + 60)).toBe(15 + 12);
    expect(dueDay(often, 16)).toBe(16);
    expect(dueDay(often, 17)).toBe(16);
  });

  it('counts whole days of the calendar, also over a leap day and a change of the clock', () => {
    expect(dayNumber('2028-03-01') - dayNumber('2028-02-28')).toBe(2);
    expect(dayNumber('2027-03-01') - dayNumber('2027-02-28')).toBe(1);
    expect(dayNumber('2026-10-26T08:00:00+01:00') - dayNumber('2026-10-24T23:59:00+02:00')).toBe(2);
    expect(dateOf(dayNumber('2027-03-14'))).toBe('2027-03-14');
  });
});
