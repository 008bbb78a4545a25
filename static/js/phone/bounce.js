/* A finger that bounces must not log the next exercise too. */
export const BOUNCE = 400;

let loggedAt = [-Infinity, 0];

/* Whether a tap comes so soon [ms] after the last. Both clocks: the one of the day may be put right between two sets. */
export function bounced(limit) {
  const [steady, day] = [performance.now(), Date.now()];
  const [before, dayBefore] = loggedAt;
  if (steady - before < limit && Math.abs(day - dayBefore) < limit) return true;
  loggedAt = [steady, day];
  return false;
}
