/* An element with its class, attributes and words. */
export function part(tag, className, attributes = {}, words = "") {
  const made = document.createElement(tag);
  if (className) made.className = className;
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  if (words) made.textContent = words;
  return made;
}
