/* Put a sentence where messages stand. Errors by default: good news comes from the server. */
export function say(text, kind = "error") {
  const list = document.getElementById("messages");
  if (!list) return;
  const same = [...list.querySelectorAll(".message > p")].find((p) => p.textContent === text);
  same?.parentElement.remove();

  const message = document.createElement("div");
  message.className = `message is-${kind}`;
  const sentence = document.createElement("p");
  sentence.textContent = text;
  const close = document.createElement("button");
  close.type = "button";
  close.className = "button is-quiet is-small";
  close.dataset.dismiss = "";
  close.textContent = "Close";
  message.append(sentence, close);
  list.append(message);
}
