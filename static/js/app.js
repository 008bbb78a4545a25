/* What every page needs: busy forms, dialogs, messages, menus, and words when a request fails. */
import "./elements/message-list.js";
import "./elements/theme-switch.js";
import "./busy.js";
import "./dialogs.js";
import { say } from "./say.js";

const RETRY = "Try again; if it happens twice, reload the page to see what was saved.";

function reasonOf(status) {
  if (status === 403) return "You may have been signed out. Reload the page and sign in.";
  if (status === 404) return "This is no longer here. Reload the page to see what is.";
  if (status === 409) return "Somebody changed this in the meantime. Reload the page to see it.";
  return `The server could not do this. ${RETRY}`;
}

document.addEventListener("htmx:responseError", (event) => say(reasonOf(event.detail.xhr.status)));
document.addEventListener("htmx:sendError", () => say(`The server cannot be reached. ${RETRY}`));
document.addEventListener("htmx:timeout", () => say(`The server did not answer in time. ${RETRY}`));

/* Menus built from <details> close when one clicks elsewhere or presses Escape. */
const openMenus = () => document.querySelectorAll("details[data-closes-outside][open]");

document.addEventListener("click", (event) => {
  for (const menu of openMenus()) if (!menu.contains(event.target)) menu.open = false;
});

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const menu of openMenus()) {
    menu.open = false;
    menu.querySelector("summary").focus();
  }
});
