/* What can be done about a rest: made longer, ended, silenced. Opens above the foot of the page. */
import { part } from "./parts.js";
import "./sound_switch.js";

export class RestPanel extends EventTarget {
  constructor(opener, more) {
    super();
    this.opener = opener;
    this.box = part("div", "rest-panel", { role: "group", "aria-label": "The rest" });
    this.box.hidden = true;
    this.more = part("button", "button", { type: "button" }, `+${more} s`);
    this.end = part("button", "button", { type: "button" }, "End the rest");
    this.box.append(this.more, this.end, document.createElement("sound-switch"));
  }

  open(isOpen) {
    if (this.box.hidden === !isOpen) return;
    const hadFocus = this.box.contains(document.activeElement);
    this.box.hidden = !isOpen;
    this.opener.setAttribute("aria-expanded", String(isOpen));
    if (hadFocus) this.opener.focus();
  }

  listen(isListening) {
    const change = isListening ? "addEventListener" : "removeEventListener";
    document[change]("click", this.#onClick);
    document[change]("keydown", this.#onKey);
  }

  #onClick = ({ target }) => {
    if (this.opener.contains(target)) this.open(this.box.hidden);
    else if (target === this.more) this.dispatchEvent(new Event("more"));
    else if (target === this.end) this.dispatchEvent(new Event("end"));
    else if (!this.box.contains(target)) this.open(false);
  };

  #onKey = ({ key }) => {
    if (key === "Escape") this.open(false);
  };
}
