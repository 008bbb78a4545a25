/* What was typed in an open panel is never thrown away without a word: it is saved before
   something else is done, and what the server refuses stays where it is with its sentence. */

const differs = (field) => field.matches("input:not([type=hidden], [type=radio])") && field.value !== field.defaultValue;

/* The form of the open panel that holds something not saved yet. */
export function typedForm(root) {
  const form = root.querySelector("form[data-typed]");
  if (!form) return undefined;
  return form.matches("[data-refused]") || [...form.elements].some(differs) ? form : undefined;
}
