/* What a move by keyboard asks the server for; none where there is nothing to move to. */
import { firstLine, isAlone, isOpen, lineOf, linesIn, rowOf, rowsOf, sessionOf } from "./places.js";

function sessionBeside(session, by, root) {
  const open = [...root.querySelectorAll("[data-session]")].filter(isOpen);
  return open[open.indexOf(session) + by];
}

/* A letter up or down in its session, or over the edge into the next one. */
export function moveLetter(stop, by, root) {
  const [session, row, line] = [sessionOf(stop), rowOf(stop), lineOf(stop)];
  const rows = rowsOf(session);
  if (rows[rows.indexOf(row) + by]) return { act: "order-pair", line, by: String(by) };
  const to = sessionBeside(session, by, root);
  if (!to) return null;
  const before = by > 0 ? firstLine(rowsOf(to)[0]) : "";
  return { act: "move-pair", line, session: to.dataset.session, before };
}

/* One exercise out of its pair, above or below it. */
export function moveAlone(stop, by, root) {
  const row = rowOf(stop);
  if (isAlone(row)) return moveLetter(stop, by, root);
  const [session, line] = [sessionOf(stop), lineOf(stop)];
  const rows = rowsOf(session);
  const partner = linesIn(row).map((one) => one.dataset.line).find((uid) => uid !== line);
  const before = by < 0 ? partner : firstLine(rows[rows.indexOf(row) + 1]);
  return { act: "move-line", line, session: session.dataset.session, before };
}

/* Unpair, or pair with the next one that stands alone. */
export function pairOrPart(stop) {
  const [row, line] = [rowOf(stop), lineOf(stop)];
  if (!isAlone(row)) return { act: "unpair", line };
  const rows = rowsOf(sessionOf(stop));
  const next = rows[rows.indexOf(row) + 1];
  return isAlone(next) ? { act: "pair-lines", line, with: firstLine(next) } : null;
}

export function turnPair(stop) {
  return isAlone(rowOf(stop)) ? null : { act: "turn-pair", line: lineOf(stop) };
}

export function lockOrUnlock(stop) {
  const isLocked = rowOf(stop).matches(".is-locked");
  return { act: isLocked ? "unlock" : "lock", line: lineOf(stop) };
}
