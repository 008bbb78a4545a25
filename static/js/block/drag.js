/* Dragging: a name takes its exercise along, the letter in the middle takes the pair. */
import { firstLine, isAlone, isOpen, lineOf, rowOf, rowsOf, sessionOf } from "./places.js";

const MARKS = ["drops-before", "drops-after", "drops-beside", "drops-into"];
/* Between these shares of a row's height one drops onto it, beside what stands there alone. */
const ONTO = [0.3, 0.7];

function dragged(target) {
  const session = target.closest?.("[data-session]");
  if (!session || !isOpen(session)) return null;
  const name = target.closest(".spine-name");
  const row = rowOf(target);
  if (name) return { line: lineOf(name), row, isPair: isAlone(row), element: name.closest(".block-line") };
  if (target.closest(".spine-axis") && row) return { line: firstLine(row), row, isPair: true, element: row };
  return null;
}

/* Above the first row, or on the session's head, it goes first; beneath the last one, last. */
function outsideRows(event, session, rows) {
  const [first, last] = [rows[0], rows.at(-1)];
  const to = { session: session.dataset.session, before: "" };
  if (!first) return { element: session, mark: "drops-into", to };
  const box = first.getBoundingClientRect();
  const isFirst = event.clientY < box.top + box.height / 2;
  if (isFirst) return { element: first, mark: "drops-before", to: { ...to, before: firstLine(first) } };
  return { element: last, mark: "drops-after", to };
}

/* Where a drop would go: the act, and the element and mark that show it. */
function spotAt(event, what) {
  const session = event.target.closest?.("[data-session]");
  if (!session || !isOpen(session)) return null;
  const row = rowOf(event.target);
  const uid = session.dataset.session;
  const rows = rowsOf(session);
  if (!row) return outsideRows(event, session, rows);
  const box = row.getBoundingClientRect();
  const share = (event.clientY - box.top) / box.height;
  const ontoOne = share > ONTO[0] && share < ONTO[1];
  const canPair = isAlone(row) && row !== what.row && isAlone(what.row ?? null);
  const fromPair = what.row && !isAlone(what.row) && what.element !== what.row && isAlone(row);
  if (ontoOne && (canPair || fromPair)) return { element: row, mark: "drops-beside", to: { session: uid, beside: firstLine(row) } };
  const isAbove = share < 0.5;
  const before = isAbove ? firstLine(row) : firstLine(rows[rows.indexOf(row) + 1]);
  return { element: row, mark: isAbove ? "drops-before" : "drops-after", to: { session: uid, before } };
}

export class Drag {
  #what = null;
  #spot = null;
  #stopped = new AbortController();

  constructor(root, send) {
    this.root = root;
    const on = (name, does) => root.addEventListener(name, does, { signal: this.#stopped.signal });
    on("dragstart", (event) => this.#start(event));
    on("dragover", (event) => this.#over(event));
    on("dragleave", (event) => {
      if (!root.contains(event.relatedTarget)) this.#mark(null);
    });
    on("drop", (event) => this.#drop(event, send));
    on("dragend", () => this.#end());
  }

  /* An element that is moved in the page is connected anew, and would drag twice. */
  stop() {
    this.#stopped.abort();
  }

  #start(event) {
    this.#what = dragged(event.target);
    if (!this.#what) return;
    event.dataTransfer.effectAllowed = "move";
    event.dataTransfer.setData("text/plain", this.#what.element.dataset.name ?? "");
    this.#what.element.classList.add("is-dragged");
    this.root.classList.add("is-dragging");
  }

  #over(event) {
    if (!this.#what) return;
    const spot = spotAt(event, this.#what);
    this.#mark(spot);
    if (spot) event.preventDefault();
  }

  #mark(spot) {
    this.#spot?.element.classList.remove(...MARKS);
    this.#spot = spot;
    spot?.element.classList.add(spot.mark);
  }

  #drop(event, send) {
    const [what, spot] = [this.#what, this.#spot];
    if (!what || !spot) return;
    event.preventDefault();
    this.#end();
    const wholePair = what.isPair && !isAlone(what.row);
    if (spot.to.before === what.line && !spot.to.beside) return;
    send({ act: wholePair ? "move-pair" : "move-line", line: what.line, ...spot.to });
  }

  #end() {
    this.#what?.element.classList.remove("is-dragged");
    this.root.classList.remove("is-dragging");
    this.#what = null;
    this.#mark(null);
  }
}
