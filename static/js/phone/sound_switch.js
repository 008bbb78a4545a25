/* <sound-switch>: silences every sound of the app in this browser, or lets them sound again. */
import { part } from "./parts.js";
import { sound } from "./sound.js";

class SoundSwitch extends HTMLElement {
  connectedCallback() {
    if (!this.button) {
      this.button = part("button", "button is-quiet", { type: "button" });
      this.append(this.button);
      this.button.addEventListener("click", () => (sound.isOn = !sound.isOn));
    }
    sound.addEventListener("changed", this.#paint);
    this.#paint();
  }

  disconnectedCallback() {
    sound.removeEventListener("changed", this.#paint);
  }

  #paint = () => {
    this.button.textContent = sound.isOn ? "Sound on" : "Sound off";
    this.button.setAttribute("aria-label", `${this.button.textContent}, turn it ${sound.isOn ? "off" : "on"}`);
  };
}

customElements.define("sound-switch", SoundSwitch);
