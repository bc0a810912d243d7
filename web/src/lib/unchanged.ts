/**
 * What was read anew, with all that is still the same taken from what was there before: whoever
 * holds a thing tells by `===` whether it was changed. For what came as JSON; nothing is written to.
 */
export function keepUnchanged<T>(before: unknown, now: T): T {
  if (!holds(before) || !holds(now) || Array.isArray(before) !== Array.isArray(now)) return now;
  const keys = Object.keys(now);
  const kept = keys.map((key) => keepUnchanged(before[key], now[key]));
  const same = keys.length === Object.keys(before).length && keys.every((key, at) => key in before && kept[at] === before[key]);
  if (same) return before as T;
  if (Array.isArray(now)) return kept as T;
  return Object.fromEntries(keys.map((key, at) => [key, kept[at]])) as T;
}

function holds(it: unknown): it is Record<string, unknown> {
  return typeof it === 'object' && it !== null;
}
