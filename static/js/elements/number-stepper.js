/* <number-stepper>: big buttons that step the number between them within its min, max and step. */
class NumberStepper extends HTMLElement {
  connectedCallback() {
    this.addEventListener("click", this.#onClick);
    this.addEventListener("input", this.#mark);
    this.#mark();
  }

  disconnectedCallback() {
    this.removeEventListener("click", this.#onClick);
    this.removeEventListener("input", this.#mark);
  }

  get input() {
    return this.querySelector("input");
  }

  #onClick = (event) => {
    const button = event.target.closest(".stepper-less, .stepper-more");
    if (!button) return;
    const { input } = this;
    if (input.value === "") input.value = input.placeholder || input.min || "0";
    else if (button.matches(".stepper-less")) input.stepDown();
    else input.stepUp();
    for (const name of ["input", "change"]) input.dispatchEvent(new Event(name, { bubbles: true }));
  };

  #mark = () => {
    const { value, min, max } = this.input;
    this.querySelector(".stepper-less").disabled = min !== "" && value !== "" && Number(value) <= Number(min);
    this.querySelector(".stepper-more").disabled = max !== "" && value !== "" && Number(value) >= Number(max);
  };
}

customElements.define("number-stepper", NumberStepper);
