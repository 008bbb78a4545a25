/* Elements and files made by scripts of the phone pages. */
export function element(tag, className, text = "", onClick = null) {
  const made = document.createElement(tag);
  made.className = className;
  made.textContent = text;
  if (tag === "button") made.type = "button";
  if (onClick) made.addEventListener("click", onClick);
  return made;
}

export function download(name, text) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
