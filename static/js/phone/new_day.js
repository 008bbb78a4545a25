/* A page that was left open overnight is fetched anew when it comes into sight on another day. */
import { dayNow } from "./local_day.js";
import { isOutdated } from "./page_age.js";
import { data, opened, store } from "./store.js";

const NAME = "blockwright-fetched-on";

function isDue() {
  const said = [...(data.sets ?? []), ...[...store.entries, ...store.kept].map((entry) => entry.body)];
  const fields = [...document.querySelectorAll("input:not([type=hidden]), select, textarea")];
  return isOutdated({ data, fields, isOpen: Boolean(document.querySelector("dialog[open]")), said });
}

/* Once a day and page: where the clocks of phone and practice differ, a new page may be as old. */
function isFirst(day) {
  try {
    if (sessionStorage.getItem(NAME) === day) return false;
    sessionStorage.setItem(NAME, day);
    return true;
  } catch {
    return false;
  }
}

/* A page that would not come must not take this one away. */
async function wouldCome(day) {
  const isToday = location.pathname === data.today_url && !location.search;
  const kept = isToday && navigator.serviceWorker?.controller && (await caches.match(`${data.today_url}?day=${day}`));
  if (kept) return true;
  const answer = await fetch(location.href, { cache: "no-store" }).catch(() => null);
  return Boolean(answer?.ok && !answer.redirected);
}

document.addEventListener("visibilitychange", async () => {
  if (document.visibilityState !== "visible") return;
  await opened;
  const day = dayNow(data);
  if (isDue() && (await wouldCome(day)) && isDue() && isFirst(day)) location.reload();
});
