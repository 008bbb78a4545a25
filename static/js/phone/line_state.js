/* The lines of a session as they are done today: as planned, swapped, skipped or added on the phone. Pure. */

/* A set belongs to its planned line, or, without one, to the line of its exercise. */
export const lineKey = (set) => set.prescription ?? `x${set.exercise}`;

export const addedLine = (exercise) => ({
  ...exercise,
  uid: `x${exercise.exercise}`,
  pair: `x${exercise.exercise}`,
  part: "",
  targets: [],
  tempo: "",
  rest: 120,
  rir: null,
  warm_up: false,
  swaps: [],
});

/* The newest thing said of a line: two phones may both have changed it. */
export function changeOf(changes, uid) {
  const those = changes.filter((one) => one.prescription === uid);
  return those.sort((a, b) => Date.parse(a.done_at) - Date.parse(b.done_at)).at(-1) ?? null;
}

function swapped(line, change) {
  const other = line.swaps.find((one) => one.exercise === change.exercise);
  if (!other) return { ...line, change };
  /* Seconds cannot be asked for in repetitions: how much is then for the client to say. */
  const targets = other.measure === line.measure ? line.targets : line.targets.map(() => null);
  return { ...line, ...other, asked_name: line.name, targets, change };
}

export function linesNow(lines, changes) {
  return lines.map((line) => {
    const change = changeOf(changes, line.uid);
    if (!change) return line;
    return change.change === "skip" ? { ...line, skipped: change.reason, change } : swapped(line, change);
  });
}

/* The next load that is easier: less weight, or more help. */
export const easierLoad = (line, load) =>
  line.load_kind === "assisted" ? line.loads.find((one) => one > load) : line.loads.findLast((one) => one < load);

/* What the next set starts from. On supplementary work the load drops after a set that fell short. */
export function startFrom(line, sets) {
  const before = sets.findLast((one) => lineKey(one) === line.uid && one.exercise === line.exercise && !one.aside);
  if (!before) return { load: line.load, amount: 0, dropped: null };
  const isShort = before.target !== null && before.amount < before.target;
  const easier = isShort && line.part === "supplementary" ? easierLoad(line, before.load) : undefined;
  const dropped = easier === undefined ? null : { before, from: before.load };
  return { load: easier ?? before.load, amount: before.amount, dropped };
}

const DAY = 86400000;

/* When a set was done: now, or on the past day that is being written down, a minute after the one before.
   A clock that was set back puts no set before the one just done; one that was days ahead has said nothing. */
export function momentFor(day, sets, now) {
  if (!day) {
    const ahead = sets.map((one) => Date.parse(one.done_at)).filter((at) => at >= now && at - now < DAY);
    return Math.max(now, ...ahead.map((at) => at + 1));
  }
  const last = sets.at(-1);
  return last ? Math.min(Date.parse(last.done_at) + 60000, now) : Date.parse(`${day}T12:00:00`);
}
