/* <slide-number>: gives the number inside a slider; while it is dragged it says so by “slid”. */
class SlideNumber extends HTMLElement {
  connectedCallback() {
    if (this.slider) return;
    this.number = this.querySelector("input[type=number]");
    this.slider = document.createElement("input");
    this.slider.type = "range";
    for (const name of ["min", "max"]) this.slider[name] = this.number[name];
    this.slider.setAttribute("aria-label", this.getAttribute("label"));
    this.slider.value = this.number.value;
    this.prepend(this.slider);
    this.slider.addEventListener("input", () => {
      this.number.value = this.slider.value;
      this.slider.dispatchEvent(new Event("slid", { bubbles: true }));
    });
    this.number.addEventListener("input", () => {
      this.slider.value = this.number.value;
    });
  }
}

customElements.define("slide-number", SlideNumber);
