const METRES = { yd: 0.9144, m: 1 };
const [NEAREST, FARTHEST] = [1, 100];

/** A distance in the unit people read, such as "11 yd". */
export function lengthText(metres, unit) {
  return metres === null ? 'no distance' : `${Math.round((metres / METRES[unit]) * 10) / 10} ${unit}`;
}

/** The distance one whole unit nearer (-1) or farther (1), in metres. */
export function stepped(metres, step, unit) {
  const units = Math.round((metres ?? 10) / METRES[unit]) + step;
  return Number((Math.min(Math.max(units, NEAREST), FARTHEST) * METRES[unit]).toFixed(4));
}
