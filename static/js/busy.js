/* A form at work says so and cannot be sent twice. */
const busy = new WeakSet();

function start(form, button) {
  busy.add(form);
  form.setAttribute("aria-busy", "true");
  button?.setAttribute("aria-busy", "true");
}

function stop(form) {
  busy.delete(form);
  form.removeAttribute("aria-busy");
  for (const button of form.querySelectorAll("[aria-busy]")) button.removeAttribute("aria-busy");
  if (form.id) {
    const outside = document.querySelectorAll(`[form="${CSS.escape(form.id)}"][aria-busy]`);
    for (const button of outside) button.removeAttribute("aria-busy");
  }
}

/* First in line, so that neither the browser nor htmx sees a second submit. */
document.addEventListener(
  "submit",
  (event) => {
    if (!busy.has(event.target)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
  },
  { capture: true },
);

/* Last in line: a form that a script of the page took over is that script's own affair. */
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || form.method === "dialog" || form.target === "_blank") return;
  /* A download keeps the page: nothing would ever stop the bar. */
  if (form.hasAttribute("data-downloads")) return;
  start(form, event.submitter);
});

document.addEventListener("htmx:beforeRequest", (event) => {
  const source = event.detail.elt;
  if (source instanceof HTMLFormElement) start(source, event.detail.requestConfig.triggeringEvent?.submitter);
});

document.addEventListener("htmx:afterRequest", (event) => {
  const source = event.detail.elt;
  if (source instanceof HTMLFormElement) stop(source);
});

/* Coming back with the back button finds the page as it was left, and ready. */
window.addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  for (const form of document.querySelectorAll("form[aria-busy]")) stop(form);
});
