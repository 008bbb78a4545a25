/* Enter in a search takes the first of what was found; where the answer is still under way, as
   soon as it is there. */
let waiting;

const listOf = (field) => document.querySelector(field.dataset.takesFirst);
const isAnswered = (field) => listOf(field)?.dataset.answers === field.value.trim();

export function takeFirst(event, sayNothingFound) {
  const field = event.target;
  if (event.key !== "Enter" || event.isComposing || !field.matches("[data-takes-first]")) return false;
  if (!field.value.trim()) return false;
  waiting = undefined;
  if (isAnswered(field)) {
    event.preventDefault();
    press(field, sayNothingFound);
  } else waiting = { field, sayNothingFound };
  return true;
}

export function takeFirstAnswered() {
  if (!waiting?.field.isConnected) waiting = undefined;
  if (!waiting || !isAnswered(waiting.field)) return;
  const { field, sayNothingFound } = waiting;
  waiting = undefined;
  press(field, sayNothingFound);
}

/* Why the first of them cannot be added. */
function whyNot(field) {
  const first = listOf(field).querySelector("button");
  return first && `${first.querySelector("strong").textContent}: ${first.querySelector(".soft").textContent}`;
}

function press(field, sayNothingFound) {
  const first = listOf(field).querySelector("button:not(:disabled)");
  if (first) first.click();
  else sayNothingFound(whyNot(field));
}
