/* What was typed in an open panel is never thrown away without a word: it is saved before
   something else is done, and what the server refuses stays where it is with its sentence. */

const differs = (field) => field.matches("input:not([type=hidden], [type=radio])") && field.value !== field.defaultValue;

/* The form of the open panel that holds something not saved yet. */
export function typedForm(root) {
  const form = root.querySelector("form[data-typed]");
  if (!form) return undefined;
  return form.matches("[data-refused]") || [...form.elements].some(differs) ? form : undefined;
}

/* Whether it was saved. */
export function saved(form) {
  return new Promise((resolve) => {
    const done = (isSaved) => {
      document.removeEventListener("block:edited", onEdited);
      document.removeEventListener("htmx:afterRequest", onAnswer);
      resolve(isSaved);
    };
    const onEdited = () => done(true);
    const onAnswer = (event) => {
      if (!event.detail.successful) done(false);
    };
    document.addEventListener("block:edited", onEdited);
    document.addEventListener("htmx:afterRequest", onAnswer);
    form.requestSubmit();
  });
}
