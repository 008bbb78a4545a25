/* <block-editor>: walk through a block by arrow keys, change what is at hand by one key, move it
   with Alt and an arrow or by dragging. Every change is an act that the server answers with what
   changed; what cannot be done is said in words. */
import { Drag } from "../block/drag.js";
import { takeFirst, takeFirstAnswered } from "../block/first_found.js";
import { lockOrUnlock, moveAlone, moveLetter, pairOrPart, turnPair } from "../block/moves.js";
import { keepFor, takeKept } from "../block/other_week.js";
import { allAnswered, isAtWork, makeSent, post, underWay } from "../block/queue.js";
import { isName, lineOf, rowOf, sessionOf, stopBeside, stopFor } from "../block/places.js";
import { typedForm } from "../block/typed.js";
import { say } from "../say.js";
import { isTyping, keysAreOff } from "./typing.js";

/* What is at hand, and how far changes reach, over every new making of the page's parts. */
const at = { uid: "", onName: true };
let reach = "onward";
/* Whether the act that is under way is a remedy of the panel of effects. */
let isRemedy = false;

const NO_MOVE = "There is no place to move it to. Open the other session's week, or add a session.";
const NOT_FOUND = "No exercise found. Write another name or muscle.";
const NO_PAIR = "The next exercise is paired already, or there is none. Move one that stands alone next to it.";

class BlockEditor extends HTMLElement {
  #drag;

  connectedCallback() {
    this.addEventListener("click", this.#onClick);
    this.addEventListener("focusin", this.#onFocus);
    this.addEventListener("keydown", this.#onKeyInside);
    this.addEventListener("change", this.#onChange);
    this.addEventListener("htmx:configRequest", this.#onConfig);
    this.addEventListener("htmx:afterSettle", this.#onSettle);
    this.addEventListener("submit", this.#onSubmit, { capture: true });
    document.addEventListener("keydown", this.#onKey);
    document.addEventListener("block:edited", this.#onEdited);
    window.addEventListener("beforeunload", this.#onUnload);
    this.#drag = new Drag(this, (act) => this.#send(act));
    const kept = takeKept();
    if (kept) at.uid = kept;
    this.#dress();
    if (kept) this.#stop?.focus();
  }

  disconnectedCallback() {
    this.#drag.stop();
    document.removeEventListener("keydown", this.#onKey);
    document.removeEventListener("block:edited", this.#onEdited);
    window.removeEventListener("beforeunload", this.#onUnload);
  }

  #onUnload = (event) => {
    if (typedForm(this)) event.preventDefault();
  };

  /* Do something once what was typed is saved; not at all when it was refused. */
  async #onceSaved(go) {
    const form = typedForm(this);
    if (!form || (form.reportValidity() && (await this.#submit(form)))) go();
  }

  get #dock() {
    return this.querySelector("[data-dock]");
  }

  get #stop() {
    return at.uid ? stopFor(this, at.uid, at.onName) : undefined;
  }

  get revision() {
    return this.querySelector("[data-revision]").dataset.revision;
  }

  /* One stop of the whole plan is reached by Tab; arrows do the rest. */
  #dress() {
    for (const one of this.querySelectorAll('a[data-at][tabindex="0"]')) one.tabIndex = -1;
    const stop = this.#stop ?? this.querySelector(".block-session:not(.is-fixed) a[data-at]") ?? this.querySelector("a[data-at]");
    if (stop) stop.tabIndex = 0;
    for (const box of this.querySelectorAll("[name=dock-reach]")) box.checked = box.value === reach;
    if (this.#stop) this.#takeInHand(this.#stop);
  }

  #takeInHand(stop) {
    for (const one of this.querySelectorAll(".is-at-hand")) one.classList.remove("is-at-hand");
    for (const one of this.querySelectorAll('a[data-at][tabindex="0"]')) one.tabIndex = -1;
    stop.tabIndex = 0;
    at.uid = stop.dataset.at;
    at.onName = isName(stop);
    const line = stop.closest(".block-line");
    line.classList.add("is-at-hand");
    const dock = this.#dock;
    dock.hidden = false;
    dock.querySelector("[data-dock-name]").textContent = line.dataset.name;
    const session = sessionOf(stop).querySelector("h2").textContent;
    const week = at.onName ? "" : `Week ${stop.dataset.week}, `;
    dock.querySelector("[data-dock-where]").textContent = `${week}${session}`;
    const isPaired = rowOf(stop).querySelectorAll(".block-line").length > 1;
    dock.querySelector("[data-does=pair] [data-word]").textContent = isPaired ? "Unpair" : "Pair";
    const isLocked = rowOf(stop).matches(".is-locked");
    dock.querySelector("[data-does=lock] [data-word]").textContent = isLocked ? "Unlock" : "Lock";
  }

  #onFocus = (event) => {
    const stop = event.target.closest("a[data-at]");
    if (stop) this.#takeInHand(stop);
  };

  #onChange = (event) => {
    if (event.target.matches("[name=dock-reach], [name=reach]")) this.#reaches(event.target.value);
  };

  #reaches(value) {
    reach = value;
    for (const box of this.querySelectorAll("[name=dock-reach], [type=radio][name=reach]")) box.checked = box.value === value;
    for (const field of this.querySelectorAll("[data-reach]")) field.value = value;
  }

  #onConfig = (event) => {
    const { parameters, verb } = event.detail;
    parameters.shown = this.dataset.shown;
    if (verb !== "post") return;
    const { revision, sent } = underWay() ?? { revision: this.revision, sent: makeSent() };
    Object.assign(parameters, { revision, sent });
    this.#forgetMessages();
  };

  #onClick = (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    const stop = event.target.closest("a[data-at]");
    const part = event.target.closest("a[data-part]");
    const pointed = event.target.closest("a[data-opens-line]");
    const button = event.target.closest("[data-does], [data-act]");
    const opener = event.target.closest("[data-opens]");
    if (opener) this.#opensLater(event, opener);
    else if (stop) {
      event.preventDefault();
      const uid = stop.dataset.at;
      const onName = isName(stop);
      this.#onceSaved(() => this.#openAt(uid, onName));
    } else if (pointed) {
      event.preventDefault();
      this.#onceSaved(() => this.#openAt(pointed.dataset.opensLine, false));
    } else if (part) {
      event.preventDefault();
      this.#onceSaved(() => this.#open(part.dataset.part, this.#hostFor(part)));
    } else if (event.target.closest("[data-leaves]")) {
      event.preventDefault();
      this.#leave();
    } else if (button?.dataset.does === "reach") this.#does(button);
    else if (button) this.#onceSaved(() => this.#does(button));
  };

  /* The cell may have been made anew since it was chosen. */
  #openAt(uid, onName) {
    const stop = stopFor(this, uid, onName);
    if (!stop) return;
    this.#takeInHand(stop);
    this.#openLine(stop);
  }

  #does(button) {
    const { act, field, by, does } = button.dataset;
    const stop = this.#stop;
    if (does === "reach") {
      this.#reaches(reach === "onward" ? "week" : "onward");
      this.#says(reach === "onward" ? "Changes hold from this week on." : "Changes hold in this week only.");
      return;
    }
    if (!stop) return;
    if (act) this.#send({ act, line: at.uid, ...(field && { field, by }) });
    else this.#doing[does](stop);
  }

  #doing = {
    edit: (stop) => this.#openLine(stop),
    swap: (stop) => this.#open(`${this.dataset.lineUrl}${at.uid}/swap/`, this.#hostBelow(stop)),
    add: (stop) => {
      const session = sessionOf(stop).dataset.session;
      this.#open(`${this.dataset.sessionUrl}${session}/add/?after=${lineOf(stop)}`, this.#hostBelow(stop));
    },
    pair: (stop) => this.#sendOr(pairOrPart(stop), NO_PAIR),
    lock: (stop) => this.#send(lockOrUnlock(stop)),
    up: (stop) => this.#sendOr(moveLetter(stop, -1, this), NO_MOVE),
    down: (stop) => this.#sendOr(moveLetter(stop, 1, this), NO_MOVE),
  };

  #openLine(stop) {
    this.#open(`${this.dataset.lineUrl}${stop.dataset.at}/`, this.#hostBelow(stop));
  }

  #sendOr(act, sentence) {
    if (act) this.#send(act);
    else this.#says(sentence, true);
  }

  #send(act) {
    this.#onceSaved(() => post(this.dataset.editUrl, { reach, ...act }, { begin: () => (isRemedy = false) }));
  }

  #submit(form, button = null) {
    const values = form.matches("[data-step]") ? {} : Object.fromEntries(new FormData(form, button));
    const fromEffects = form.closest("#block-effects") !== null;
    return post(form.action, values, {
      once: !form.matches("[data-step]"),
      begin: () => (isRemedy = fromEffects),
    });
  }

  /* Every act waits its turn, also while its form is made anew by the answer to the one before. */
  #onSubmit = (event) => {
    const form = event.target;
    const isAct = form.matches("[hx-post][hx-swap=none]");
    if (form.method !== "post" || (!isAct && !isAtWork())) return;
    event.preventDefault();
    event.stopPropagation();
    const { submitter } = event;
    if (!isAct) this.#afterAll(() => this.#submitNow(form, submitter));
    else if (form === typedForm(this)) this.#submit(form, submitter);
    else this.#onceSaved(() => this.#submit(form, submitter));
  };

  async #afterAll(go) {
    while (isAtWork()) await allAnswered();
    go();
  }

  /* What leads to another page goes on from all that was pressed before. */
  #submitNow(form, submitter) {
    if (!form.isConnected) return;
    if (form.elements.revision) form.elements.revision.value = document.querySelector("block-editor").revision;
    form.requestSubmit(submitter);
  }

  /* A dialog tells of the plan with all that was pressed before it. */
  #opensLater(event, opener) {
    if (!isAtWork() && !typedForm(this)) return;
    event.preventDefault();
    event.stopPropagation();
    const { opens } = opener.dataset;
    this.#onceSaved(() => this.#afterAll(() => document.querySelector(`[data-opens="${opens}"]`)?.click()));
  }

  #says(text, isShown = false) {
    this.querySelector("[data-says]").textContent = text;
    if (!isShown) return;
    this.#forgetMessages();
    say(text, "info");
  }

  /* What was said of an act before says nothing of this one. */
  #forgetMessages() {
    document.getElementById("messages")?.replaceChildren();
  }

  #onEdited = (event) => {
    const { focus, says, skipped, whole } = event.detail;
    this.querySelector("[data-panel]")?.closest(".block-panel")?.remove();
    if (focus && stopFor(this, focus, at.onName)) at.uid = focus;
    this.#dress();
    // Who works through what was found goes on there.
    const place = (isRemedy && this.querySelector("#findings")) || this.#placeFor(focus, whole);
    isRemedy = false;
    place.focus({ preventScroll: true });
    place.scrollIntoView({ block: "nearest" });
    this.#dropOldMarks();
    this.#says(says);
    for (const sentence of skipped) say(sentence, "info");
  };

  /* After an act on weeks the week, after one on a session without exercises its heading. */
  #placeFor(focus, whole) {
    const week = this.querySelector(".block-weeks > [aria-current]");
    if (!focus) return (!whole && this.#stop) || week;
    if (stopFor(this, focus, at.onName)) return this.#stop ?? week;
    return this.querySelector(`[data-session="${CSS.escape(focus)}"] h2`) ?? week;
  }

  /* Marks in the heads of sessions belong to the last edit alone; where the panel is far, its
     first line stands in the dock. */
  #dropOldMarks() {
    for (const mark of this.querySelectorAll("[data-of-revision]"))
      if (mark.dataset.ofRevision !== this.revision) mark.remove();
    const change = this.querySelector(".effects-change")?.textContent ?? "";
    this.#dock.querySelector("[data-dock-effect]").textContent = change.replace(/\s+/g, " ").trim();
  }

  /* What went wrong, or waits for a decision, is read at once. */
  #onSettle = () => {
    takeFirstAnswered();
    if (document.activeElement !== document.body) return;
    const told = this.querySelector("[data-panel] .errors") ?? this.querySelector(".block-conflict");
    if (told) told.tabIndex = -1;
    told?.focus();
  };

  /* Panels: one at a time, beneath what it is about. */
  #hostBelow(stop) {
    const row = rowOf(stop);
    const host = document.createElement("li");
    host.className = "spine-row block-panel";
    return { host, put: () => row.after(host) };
  }

  #hostFor(link) {
    const open = link.closest(".block-panel");
    if (open?.isConnected) return { host: open, put: () => {} };
    if (open && this.#stop) return this.#hostBelow(this.#stop);
    const host = document.createElement("div");
    host.className = "block-panel";
    const head = link.closest(".card-head") ?? this.querySelector("#block-weeks");
    return { host, put: () => head.after(host) };
  }

  async #open(url, { host, put }) {
    for (const other of this.querySelectorAll(".block-panel")) if (other !== host) other.remove();
    this.#mark(host.matches("li"));
    put();
    /* From its own place: one that is asked for by the editor itself would push acts out of line. */
    await htmx.ajax("GET", url, { source: host, target: host, swap: "innerHTML" });
    this.#reaches(reach);
    const first =
      host.querySelector("[autofocus]") ??
      host.querySelector("input:not([type=hidden]), select") ??
      host.querySelector("button, a:not([data-leaves])") ??
      host.querySelector("a");
    first?.focus();
    if (first?.matches("input")) first.select();
    host.scrollIntoView({ block: "nearest" });
  }

  /* The cell whose panel is open. */
  #mark(isOpen) {
    for (const one of this.querySelectorAll(".is-open")) one.classList.remove("is-open");
    if (isOpen) this.#stop?.classList.add("is-open");
  }

  #leave() {
    this.#mark(false);
    this.querySelector("[data-panel]")?.closest(".block-panel")?.remove();
    const stop = this.#stop ?? this.querySelector('a[data-at][tabindex="0"]');
    stop?.focus();
  }

  #onKeyInside = (event) => {
    if (event.key === "Escape" && event.target.closest("[data-panel]")) {
      event.preventDefault();
      this.#leave();
      return;
    }
    if (takeFirst(event, (why) => this.#says(why ?? NOT_FOUND, true))) return;
    const stop = event.target.closest("a[data-at]");
    if (!stop || !event.key.startsWith("Arrow") || event.ctrlKey || event.metaKey) return;
    if (event.altKey) this.#move(event, stop);
    else if (!event.shiftKey) {
      const next = stopBeside(stop, event.key, this);
      event.preventDefault();
      next?.focus();
    }
  };

  #move(event, stop) {
    event.preventDefault();
    const by = event.key === "ArrowUp" ? -1 : 1;
    if (event.key === "ArrowLeft" || event.key === "ArrowRight") this.#sendOr(turnPair(stop), NO_PAIR);
    else this.#sendOr(event.shiftKey ? moveAlone(stop, by, this) : moveLetter(stop, by, this), NO_MOVE);
  }

  /* From anywhere on the page: undo and redo, and the week before or after. */
  #onKey = (event) => {
    if (event.defaultPrevented || isTyping(event)) return;
    const key = event.key.toLowerCase();
    if ((event.ctrlKey || event.metaKey) && (key === "z" || key === "y")) {
      event.preventDefault();
      const back = key === "z" && !event.shiftKey;
      this.querySelector(`[data-revision] [data-key=${back ? "z" : "y"}]`)?.click();
    } else if (!keysAreOff() && !event.altKey && !event.ctrlKey && (key === "[" || key === "]")) {
      this.#toWeek(key === "[" ? -1 : 1);
    }
  };

  #toWeek(by) {
    const tabs = [...this.querySelectorAll(".block-weeks > a")];
    const place = tabs.findIndex((tab) => tab.ariaCurrent) + by;
    keepFor(place, document.activeElement.closest("a[data-at]"));
    tabs[place]?.click();
  }
}

customElements.define("block-editor", BlockEditor);
