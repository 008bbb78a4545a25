/* When a single key is a command, and when it belongs to what somebody writes or to an open dialog. */
export const FIELDS = "input:not([type=checkbox], [type=radio]), textarea, select, [contenteditable]";

export const keysAreOff = () => document.documentElement.classList.contains("keys-off");

export const isTyping = (event) =>
  Boolean(event.target.closest?.(FIELDS)) || document.querySelector("dialog[open]") !== null;
