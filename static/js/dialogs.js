/* Dialogs: data-opens names one, data-closes closes it; a dialog that arrives with data-open-now opens. */
document.addEventListener("click", (event) => {
  const opener = event.target.closest("[data-opens]");
  if (opener) {
    event.preventDefault();
    const dialog = document.getElementById(opener.dataset.opens);
    if (dialog && !dialog.open) dialog.showModal();
    return;
  }
  const closer = event.target.closest("[data-closes]");
  if (closer) {
    event.preventDefault();
    closer.closest("dialog")?.close();
    return;
  }
  /* A click on the veil lands on the dialog itself, outside its box. */
  if (event.target instanceof HTMLDialogElement && event.detail > 0) {
    const box = event.target.getBoundingClientRect();
    const inside =
      event.clientX >= box.left && event.clientX <= box.right && event.clientY >= box.top && event.clientY <= box.bottom;
    if (!inside) event.target.close();
  }
});

/* Enter in a field that may stay empty leads on to the button; only there it sends. */
document.addEventListener("keydown", (event) => {
  const field = event.target.closest?.("[data-enter-goes-on]");
  if (!field || event.key !== "Enter" || event.isComposing) return;
  event.preventDefault();
  field.form.querySelector("[type=submit]").focus();
});

function openArrived(place) {
  const arrived = place.querySelectorAll?.("dialog[data-open-now]") ?? [];
  const all = place.matches?.("dialog[data-open-now]") ? [place, ...arrived] : arrived;
  for (const dialog of all) if (!dialog.open) dialog.showModal();
}

openArrived(document);
document.addEventListener("htmx:load", (event) => openArrived(event.detail.elt));
