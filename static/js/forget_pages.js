/* Somebody signs in: pages that the phone kept for whoever was here before go first. */
import { forgetPages } from "./phone/kept_pages.js";

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.dataset.forgot || form.method !== "post") return;
  event.preventDefault();
  event.stopImmediatePropagation();
  form.dataset.forgot = "yes";
  const go = () => form.requestSubmit(event.submitter);
  forgetPages().then(go, go);
}, { capture: true });
