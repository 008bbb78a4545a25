/* Where things stand on the block's page, read from the page itself. */

export const linesIn = (place) => [...place.querySelectorAll(".block-line")];

export const rowsOf = (session) => [...session.querySelectorAll(".spine-row[data-letter]")];

export const sessionOf = (element) => element.closest("[data-session]");

export const rowOf = (element) => element.closest(".spine-row[data-letter]");

export const isOpen = (session) => session !== null && !session.matches(".is-fixed");

/* The uid of the exercise in the week that is shown, whichever of its weeks is at hand. */
export const lineOf = (element) => element.closest(".block-line")?.dataset.line ?? "";

export const firstLine = (row) => row?.querySelector(".block-line")?.dataset.line ?? "";

export const isAlone = (row) => row !== null && row !== undefined && linesIn(row).length === 1;

/* The stops of one exercise: its name, then its weeks. */
export const stopsOf = (line) => [...line.querySelectorAll("a[data-at]")];

const isName = (stop) => stop.closest(".spine-name") !== null;

/* The row above or below, on into the next session. */
function rowBeside(row, by, root) {
  const rows = [...root.querySelectorAll(".spine-row[data-letter]")];
  return rows[rows.indexOf(row) + by];
}

/* Where an arrow leads from a stop: along its weeks and over to its partner, or up and down. */
export function stopBeside(stop, key, root) {
  const [line, row] = [stop.closest(".block-line"), rowOf(stop)];
  const stops = stopsOf(line);
  const at = stops.indexOf(stop);
  const lines = linesIn(row);
  const side = lines.indexOf(line);
  if (key === "ArrowRight") return stops[at + 1] ?? (lines[side + 1] && stopsOf(lines[side + 1])[0]);
  if (key === "ArrowLeft") return stops[at - 1] ?? (side > 0 ? stopsOf(lines[side - 1]).at(-1) : undefined);
  const next = rowBeside(row, key === "ArrowUp" ? -1 : 1, root);
  if (!next) return undefined;
  const there = linesIn(next);
  const same = there.find((one) => one.dataset.side === line.dataset.side);
  const to = stopsOf(same ?? there[0]);
  return to[Math.min(at, to.length - 1)];
}

/* The stop for a uid, on the name or in the strip as it was before. */
export function stopFor(root, uid, onName) {
  const found = [...root.querySelectorAll(`a[data-at="${CSS.escape(uid)}"]`)];
  if (found.length > 0) return found.find((stop) => isName(stop) === onName) ?? found[0];
  const session = root.querySelector(`[data-session="${CSS.escape(uid)}"]`);
  return session?.querySelector("a[data-at]") ?? undefined;
}

export { isName };
